"""Codes and units that go to a clinic and come from one: UCUM, LOINC, SNOMED CT, and names of our own.

Two ideas: a code is used only where its meaning is sure, and its source stands beside it; everything else is a text,
which the standard allows. A unit is always UCUM, so that a number can't be read in another one.
"""

from __future__ import annotations

from types import MappingProxyType

from setwright.body.units import LB_KG

UCUM = "http://unitsofmeasure.org"
LOINC = "http://loinc.org"
SNOMED = "http://snomed.info/sct"
OWN = "https://setwright.invalid/fhir"
CATEGORY = "http://terminology.hl7.org/CodeSystem/observation-category"
ABSENT = "http://hl7.org/fhir/StructureDefinition/data-absent-reason"
DATA_ABSENT = "http://terminology.hl7.org/CodeSystem/data-absent-reason"

# Body weight: the vital signs profile of FHIR (hl7.org/fhir, "bodyweight"), seen. Pain: display of LOINC 72514-3 as
# national guides on build.fhir.org quote it, seen.
BODY_MASS = ("29463-7", "Body weight")
PAIN = ("72514-3", "Pain severity - 0-10 verbal numeric rating [Score] - Reported")
# SNOMED CT qualifiers of side, as the value set "Laterality" of hl7ch/ch-ems lists them, seen.
SIDE_CODES = MappingProxyType({"left": "7771000", "right": "24028007", "both": "51440002"})

# Every UCUM unit that we write, by the word for it in our own files. Source: The Unified Code for Units of Measure;
# each is read by a UCUM parser in the tests.
UCUM_UNITS = MappingProxyType(
    {
        "kg": "kg",
        "lb": "[lb_av]",
        "deg": "deg",
        "cm": "cm",
        "m": "m",
        "km": "km",
        "s": "s",
        "min": "min",
        "reps": "{repetition}",
        "sets": "{set}",
        "score": "{score}",
        "beats a minute": "/min",
    }
)
# What may come in, as a factor to the unit that we keep. Source of the pound: international agreement of 1959; the
# inch of 25.4 mm: the same (from memory).
MASSES_KG = MappingProxyType({"kg": 1.0, "g": 0.001, "[lb_av]": LB_KG})
ANGLES_DEG = MappingProxyType({"deg": 1.0, "rad": 57.29577951308232})
LENGTHS_CM = MappingProxyType({"cm": 1.0, "mm": 0.1, "m": 100.0, "[in_i]": 2.54})
SCORES = MappingProxyType({"{score}": 1.0, "1": 1.0, "": 1.0})
MINUTES = MappingProxyType({"min": 1.0, "s": 1.0 / 60.0, "h": 60.0})
