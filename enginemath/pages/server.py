"""The lesson pages behind Jupyter's own server: its address, its token, its folder.

A page opens one socket; each socket has one `Session`. Nothing is asked of another host.
"""

from __future__ import annotations

import importlib
import json
import os
from collections.abc import Awaitable
from functools import partial
from html import escape
from inspect import isawaitable
from pathlib import Path
from typing import Any

from jupyter_server.base.handlers import FileFindHandler, JupyterHandler
from jupyter_server.base.websocket import WebSocketMixin
from jupyter_server.utils import url_path_join
from tornado import web
from tornado.httputil import url_concat
from tornado.websocket import WebSocketHandler

from enginemath.pages.desk import Desk
from enginemath.pages.messages import Reply
from enginemath.pages.session import Session
from enginemath.pages.student_sheet import paper
from enginemath.panels.frame.on_first_call import read_all
from enginemath.quiet_lab import PAGES, SAY_ADDRESS
from enginemath.units import Refused

SITE = Path(__file__).parent / "site"
ROOT = PAGES.strip("/")
_DESK = "enginemath_desk"


class Page(JupyterHandler):
    """The page itself; what it shows comes through its socket."""

    @web.authenticated
    def get(self) -> None:
        """The one page, told where its socket is."""
        base = url_path_join(self.base_url, ROOT)
        page = (SITE / "page.html").read_text(encoding="utf-8")
        self.set_header("Content-Type", "text/html; charset=UTF-8")
        self.set_header("Cache-Control", "no-cache")
        self.finish(
            page.replace("{site}", escape(f"{base}/site"))
            .replace("{paper}", escape(f"{base}/paper"))
            .replace("{lab}", escape(url_path_join(self.base_url, "lab/tree")))
        )

    @property
    def content_security_policy(self) -> str:
        """Nothing from elsewhere, no script but the page's own file."""
        return "; ".join(
            [
                super().content_security_policy,
                "default-src 'none'",
                "script-src 'self'",
                "style-src 'self' 'unsafe-inline'",
                "img-src 'self' data:",
                "connect-src 'self' ws: wss:",
                "form-action 'none'",
                "base-uri 'none'",
            ]
        )


class Paper(JupyterHandler):
    """What is printed: a lesson's sheet, the word list."""

    @web.authenticated
    def get(self, name: str) -> None:
        """What has this name."""
        try:
            page = paper(name)
        except Refused as refused:
            raise web.HTTPError(404, str(refused)) from None
        self.set_header("Content-Type", "text/html; charset=UTF-8")
        self.finish(page)

    @property
    def content_security_policy(self) -> str:
        """Style and pictures of its own, no script."""
        return "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'"


class SiteFile(FileFindHandler):
    """Style and script; asked for anew after an update."""

    def set_extra_headers(self, path: str) -> None:  # noqa: ARG002
        """Let the browser ask whether a file has changed."""
        self.set_header("Cache-Control", "no-cache")


class Talk(WebSocketMixin, WebSocketHandler, JupyterHandler):
    """The socket of one page."""

    session: Session | None = None

    async def get(self, *args: Any, **kwargs: Any) -> None:
        """Open the socket for whoever may use the server."""
        if not self.current_user:
            raise web.HTTPError(403)
        opened: Any = super().get(*args, **kwargs)
        if isawaitable(opened):
            await opened

    def open(self, *args: Any, **kwargs: Any) -> None:
        """A page is there."""
        super().open(*args, **kwargs)
        self.set_nodelay(True)
        projector = self.get_argument("projector", "") == "1"
        desk: Desk = self.settings[_DESK]
        self.session = Session(desk, projector=projector, push=self._tell)

    def on_message(self, message: str | bytes) -> Awaitable[None] | None:
        """Take a message, send what it brings about."""
        if self.session is not None:
            text = message if isinstance(message, str) else message.decode("utf-8", "replace")
            for reply in self.session.take(text):
                self.write_message(reply)
        return None

    def on_close(self) -> None:
        """The page is gone."""
        super().on_close()
        if self.session is not None:
            self.session.close()

    def _tell(self, reply: Reply) -> None:
        self.write_message(json.dumps(reply, ensure_ascii=False))


def _load_jupyter_server_extension(server: Any) -> None:
    """Add the pages to a running server."""
    application = server.web_app
    application.settings[_DESK] = Desk(Path(server.root_dir).expanduser().resolve())
    base = url_path_join(application.settings["base_url"], ROOT)
    application.add_handlers(
        ".*$",
        [
            (f"{base}/?", Page),
            (f"{base}/talk", Talk),
            (f"{base}/paper/([^/]+)\\.html", Paper),
            (f"{base}/site/(.*)", SiteFile, {"path": [str(SITE)]}),
        ],
    )
    server.io_loop.call_later(0.2, _get_ready)
    if SAY_ADDRESS in os.environ:
        say = partial(_say_address, server, os.environ[SAY_ADDRESS])
        server.io_loop.add_callback(server.io_loop.add_callback, say)  # after it binds its port


def _say_address(server: Any, path: str) -> None:
    """Print where the lessons are, for whoever opens a browser by hand."""
    token = server.identity_provider.token
    address = url_path_join(server.connection_url, path)
    print(url_concat(address, {"token": token} if token else {}), flush=True)


def _get_ready() -> None:
    """Load what the first page will ask for, while the browser opens."""
    read_all(importlib.import_module("enginemath.lesson"))
