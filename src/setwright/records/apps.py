"""The records as a part of the application."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """Where the tables of the records come from."""

    name = "setwright.records"
    label = "records"
    verbose_name = "Records"
