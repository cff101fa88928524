"""The form of a place: what is there, counted."""

from __future__ import annotations

from setwright.catalogue.equipment import equipment
from setwright.web.forms.fields import Choice, Choices, Counts, Field, Flag, Measure, Name, Number, Numbers, Rows, Run
from setwright.web.forms.form import Form, Section

BARS: Choices = (("barbell", "barbell"), ("hexbar", "hex bar"), ("landmine", "landmine"))
OWN_ROWS = {"none", "wall", "barbell", "hexbar", "landmine", "plates", "dumbbell", "kettlebell", "cable", "band"}
OWN_ROWS |= {"band_heavy", "loop_band"}


def pieces(key: str, title: str, one: str, units: tuple[str, ...], single: str, runs: bool) -> Rows:
    """Rows for things of one mass, or a run of masses: from, to, step."""
    mass: Field = Run(key, "From", units=units) if runs else Measure("mass", "Mass", units=units)
    fields = (
        mass,
        Number("pairs", "Pairs of each"),
        Number("count", single),
    )
    return Rows(key, title, one=one, fields=fields)


def place_form(unit: str) -> Form:
    """The form of a place. ``unit``: kg or lb, for numbers without one."""
    units = ("lb", "kg") if unit == "lb" else ("kg", "lb")
    words = equipment().words
    machines = tuple((word, says) for word, says in words.items() if word.startswith("machine:"))
    stacks: Choices = (("cable", "cable"), *machines)
    fixtures = tuple(
        sorted(((word, says) for word, says in words.items() if word not in OWN_ROWS), key=lambda one: one[1])
    )
    bars = Rows(
        "bars",
        "Bars",
        one="bar",
        fields=(
            Choice("kind", "Kind", choices=BARS, empty=None, usual="barbell"),
            Measure("mass", "Mass", units=units),
            Number("count", "How many"),
            Measure("collar", "One collar", units=units),
        ),
    )
    cable = Rows(
        "stacks",
        "Cables and machines with a pin",
        one="stack",
        fields=(
            Choice("kind", "Kind", choices=stacks, empty=None, usual="cable"),
            Measure("first", "First plate", units=units),
            Measure("step", "Steps of", units=units),
            Measure("last", "Last plate", units=units),
            Numbers("add_ons_kg", "Add-ons, kg", "with commas"),
            Number("count", "How many"),
        ),
    )
    bands = Rows(
        "bands",
        "Bands",
        one="band",
        fields=(
            Field("name", "Name", "your own word for it"),
            Flag("heavy", "heavy", wide=False),
            Flag("loop", "a small loop", wide=False),
            Measure("assist", "Help in a pull-up", "measured at the bottom", units=units),
            Number("count", "How many"),
        ),
        more=(
            Number("rest_cm", "Length at rest", unit="cm"),
            Measure("hung", "A mass hung on it", units=units),
            Number("hung_cm", "Its length under that mass", unit="cm"),
        ),
    )
    return Form(
        (
            Section(
                "name",
                "The place",
                (
                    Name("name", "Name"),
                    Choice("unit", "What the plates say", choices=(("kg", "kg"), ("lb", "lb")), empty=None, usual=unit),
                ),
                "Numbers without a unit are read in this one; write 45 lb or 20 kg where a piece differs.",
            ),
            Section(
                "bar",
                "Bars and plates",
                (bars, pieces("plates", "Plates", "kind of plate", units, "or single ones", False)),
                "Only what is there is ever planned: a load that can't be built becomes more or fewer repetitions.",
            ),
            Section(
                "bells",
                "Dumbbells and kettlebells",
                (
                    pieces("dumbbells", "Dumbbells", "run of dumbbells", units, "or single ones", True),
                    pieces("kettlebells", "Kettlebells", "run of kettlebells", units, "or single ones", True),
                ),
                "One mass in a line of its own, or a run: from 4 to 20 in steps of 2.",
            ),
            Section("pins", "Cables, machines, bands", (cable, bands)),
            Section(
                "fixtures",
                "Everything else",
                (Counts("fixtures", "How many of each; empty for none", choices=fixtures),),
                "A machine with a pin stands above; here those without one, loaded by plates or by the body.",
            ),
            Section(
                "more",
                "More",
                (
                    Flag("invented", "This place is invented"),
                    Field("id", "Id in files", "made from the name; it stays"),
                ),
                optional=True,
            ),
        ),
        {},
    )
