"""Who may use the workbook's server: whoever has its token, whatever the machine's own Jupyter settings say."""

from __future__ import annotations

import secrets
from typing import Any

from jupyter_server.auth.identity import PasswordIdentityProvider


class TokenAlways(PasswordIdentityProvider):
    """A new token where the settings found on this machine turn the token off; a password set there still holds."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        if not self.auth_enabled:
            self.token, self.token_generated = secrets.token_hex(24), True
