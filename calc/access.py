"""Who may use the workbook's server: whoever has its token, whatever the machine's own Jupyter settings say."""

from __future__ import annotations

import secrets
from inspect import isawaitable
from typing import Any

from jupyter_server.auth.identity import PasswordIdentityProvider, User


class TokenAlways(PasswordIdentityProvider):
    """A new token where the settings found on this machine turn the token off; a password set there still holds."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        if not self.auth_enabled:
            self.token, self.token_generated = secrets.token_hex(24), True

    async def get_user(self, handler: Any) -> User | None:
        """Who asks. Whoever gets a page gets the cookie too without which the page may not end its kernel when it is left."""
        found = super().get_user(handler)
        user = await found if isawaitable(found) else found
        if user is not None and handler.request.method == "GET" and "/voila/render/" in handler.request.path:
            handler.current_user = user
            _ = handler.xsrf_token  # asking for it is what sets the cookie
        return user
