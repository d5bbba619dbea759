"""Setting a page: one of the house's templates and plain data become a tagged PDF."""

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

_SHARED = "sheets.typ"
"""What several templates set alike."""


def typeset_pdf(template: str, data: dict[str, Any]) -> bytes:
    """Typeset one of the house's templates with data by file name.

    The result is tagged and declares itself accessible (PDF/UA-1). A name in letters that the book's font lacks cannot
    be declared so; the book is then set without the declaration.
    """
    import font_source_sans_pro
    import typst

    templates = files("slabwright.outputs").joinpath("templates")
    sources = {"main": templates.joinpath(template).read_bytes(), _SHARED: templates.joinpath(_SHARED).read_bytes()}
    sources |= {name: json.dumps(content, ensure_ascii=False).encode() for name, content in data.items()}
    fonts = [str(Path(font_source_sans_pro.font_files_ttf["SourceSansPro"]).parent)]
    compiled: Any = typst.compile
    try:
        pdf = compiled(sources, format="pdf", font_paths=fonts, ignore_system_fonts=True, pdf_standards=["ua-1"])
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise
        pdf = compiled(sources, format="pdf", font_paths=fonts, ignore_system_fonts=True)
    return bytes(pdf)
