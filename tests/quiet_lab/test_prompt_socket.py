"""The kernel's socket sends each message at once, seen on a real socket."""

from __future__ import annotations

import asyncio
import json
import socket
from concurrent.futures import ThreadPoolExecutor
from unittest.mock import Mock

import pytest
from jupyter_server.serverapp import ServerApp
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port
from tornado.web import Application
from tornado.websocket import WebSocketHandler, websocket_connect
from traitlets.config import Config

from enginemath import quiet_lab
from enginemath.quiet_lab.prompt_socket import PromptSocket

CONFIG = json.loads((quiet_lab.SETTINGS / "jupyter_server_config.json").read_text())


def delays(sock: socket.socket) -> bool:
    """Whether a socket may hold a short message back."""
    return not sock.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


@pytest.fixture
def connected(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What Jupyter's own connection was asked to do."""
    asked: list[str] = []
    monkeypatch.setattr(
        ZMQChannelsWebsocketConnection, "connect", lambda _: asked.append("connect")
    )
    return asked


@pytest.mark.parametrize("prompt", [False, True])
def test_a_page_that_connects_is_answered_without_delay(prompt: bool, connected: list[str]) -> None:
    found: list[bool] = []

    class Page(WebSocketHandler):
        def open(self, *_: str, **__: str) -> None:
            if prompt:
                PromptSocket.connect(Mock(spec=PromptSocket, websocket_handler=self))
            assert self.ws_connection is not None
            found.append(delays(self.ws_connection.stream.socket))

    async def visit() -> None:
        listening, port = bind_unused_port()
        server = HTTPServer(Application([("/", Page)]))
        server.add_sockets([listening])
        page = await websocket_connect(f"ws://127.0.0.1:{port}/")
        while not found:
            await asyncio.sleep(0.01)
        page.close()
        server.stop()
        await server.close_all_connections()

    with ThreadPoolExecutor(1) as thread:  # a browser test may have left a loop in this one
        thread.submit(asyncio.run, visit()).result()
    assert found == [not prompt]
    assert connected == (["connect"] if prompt else [])


def test_the_kits_settings_name_it() -> None:
    server = ServerApp(config=Config(CONFIG))
    assert server.kernel_websocket_connection_class is PromptSocket
