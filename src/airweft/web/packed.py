"""Answers packed small for the network, and left as they are on this computer."""

from __future__ import annotations

from fastapi.middleware.gzip import GZipMiddleware

from airweft.web.guard import Receive, Scope, Send, from_here


class Packed(GZipMiddleware):
    """Packs for other devices only: here packing takes many times as long as sending."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if from_here(scope):
            await self.app(scope, receive, send)
        else:
            await super().__call__(scope, receive, send)
