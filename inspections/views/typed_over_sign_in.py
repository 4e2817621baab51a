"""A session that ended while somebody typed at the bridge: what was typed is back in the boxes after signing in."""

from collections.abc import Callable
from functools import wraps
from urllib.parse import urlencode

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest

LONGEST = 300
MOST_FIELDS = 150


def typed_over_sign_in(view: Callable) -> Callable:
    """Send a stranger to the door; what was posted comes back as the page's address, to be looked at and saved again.

    Nothing is saved unseen: the page fills its boxes from the address, and only a press of its own button posts them.
    """

    @wraps(view)
    def guarded(request: HttpRequest, *args, **kwargs):
        if request.user.is_authenticated:
            return view(request, *args, **kwargs)
        typed = [
            (name, value[:LONGEST])
            for name, value in list(request.POST.items())[:MOST_FIELDS]
            if value and name != "csrfmiddlewaretoken"
        ]
        back = request.get_full_path() if request.method != "POST" else request.path
        return redirect_to_login(f"{back}?{urlencode([('typed', '1'), *typed])}" if typed else back)

    # The door above stands in for the one every other page has.
    guarded.login_required = False
    return guarded
