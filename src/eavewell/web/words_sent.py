"""A form of any boxes as words."""

from typing import Annotated

from fastapi import Depends, Request

MOST_FIELDS = 4000


async def words_sent(request: Request) -> dict[str, str]:
    """Every field of a form as words, no file among them."""
    form = await request.form(max_files=0, max_fields=MOST_FIELDS)
    return {key: said for key, said in form.items() if isinstance(said, str)}


Words = Annotated[dict[str, str], Depends(words_sent)]
