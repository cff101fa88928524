"""What a web server starts: all that pages are made of is read before the first is asked for, once for all workers."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "setwright.settings")
application = get_wsgi_application()

from setwright.web.reading_ahead import read_ahead  # noqa: E402 - the framework stands only now

read_ahead()
