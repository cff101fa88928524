"""Filters for pages of the floor."""

from __future__ import annotations

from django import template

from setwright.publish.plate_picture import plate_height

register = template.Library()
register.filter("plate_height", plate_height)
