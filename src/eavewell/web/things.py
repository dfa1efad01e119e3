"""What pages need beside their text: style, scripts, letters; and files to take away."""

import re
from importlib.resources import files
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Response

from eavewell.web.fonts import FACES, face
from eavewell.web.pages import Pages

KINDS = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml"}
SIMPLE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,80}")
KEPT = {"cache-control": "public, max-age=3600"}


def to_keep(data: bytes | str, name: str, *, kind: str) -> Response:
    """A file to take away under a name of any letters; kind : its media type."""
    plain = "".join(
        one if one.isascii() and one.isprintable() and one not in '"\\' else "_" for one in name
    )
    held = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, '')}"
    return Response(data, media_type=kind, headers={"content-disposition": held})


def router(pages: Pages) -> APIRouter:
    """Addresses below /things."""
    routes = APIRouter(prefix="/things", include_in_schema=False)

    @routes.get("/letters/{name}")
    def letters(name: str) -> Response:
        if name not in FACES:
            raise HTTPException(404, "There are no such letters.")
        return Response(face(name), media_type="font/woff", headers=KEPT)

    @routes.get("/{name}")
    def thing(name: str) -> Response:
        """A style or a script; those from elsewhere lie in a folder made when built."""
        kind = KINDS.get(name.rpartition(".")[2])
        for folder in ("static", "static/built"):
            file = files("eavewell.web").joinpath(folder, name)
            if kind and SIMPLE.fullmatch(name) and file.is_file():
                return Response(file.read_bytes(), media_type=kind, headers=KEPT)
        raise HTTPException(404, "There is no such thing.")

    return routes
