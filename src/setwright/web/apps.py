"""The pages as a part of the application."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Where templates and static files of the pages come from."""

    name = "setwright.web"
    label = "web"
    verbose_name = "Setwright"
