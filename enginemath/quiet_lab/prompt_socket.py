"""The socket between a page and its kernel, told to hold nothing back.

A kernel answers a slider with three short messages: busy, the change, idle. By default a socket
holds back the second until the first is acknowledged, and a browser takes 40 ms over that.

Source: J. Nagle, RFC 896 (1984); delayed acknowledgement, RFC 1122 (1989), section 4.2.3.2.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptSocket(ZMQChannelsWebsocketConnection):
    """A page's connection to its kernel that sends each message at once."""

    def connect(self) -> Any:
        """Connect, without the delay."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
