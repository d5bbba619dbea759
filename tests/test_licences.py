"""Every package that ships with slabwright may be used by anyone: permissive or weak copyleft."""

import re
from importlib.metadata import PackageNotFoundError, distribution

import pytest

ALLOWED = re.compile(
    r"\b(MIT|BSD|Apache|ISC|PSF|Python Software Foundation|Zlib|Unlicense|CC0|0BSD|MPL|Mozilla|LGPL|Lesser|OFL|Open Font|HPND)", re.I
)
FORBIDDEN = re.compile(r"(?<!Lesser )\b(AGPL|GNU Affero|GPL-[23]|GPLv[23]|GNU General Public)", re.I)


def _tree(name: str, seen: set[str]) -> set[str]:
    key = re.sub(r"[-_.]+", "-", name).lower()
    if key in seen:
        return seen
    try:
        found = distribution(key)
    except PackageNotFoundError:  # a marker for another platform
        return seen
    seen.add(key)
    for requirement in found.requires or ():
        if "extra ==" not in requirement:
            _tree(re.split(r"[\s\[;<>=!~(]", requirement, maxsplit=1)[0], seen)
    return seen


SHIPPED = sorted(_tree("slabwright", set()) - {"slabwright"})


@pytest.mark.parametrize("name", SHIPPED)
def test_licence_of_every_shipped_package(name):
    """Walks the installed metadata: expression, field and classifiers."""
    metadata = distribution(name).metadata
    fields = [metadata.get("License-Expression") or "", (metadata.get("License") or "")[:400]]
    fields += [one for one in metadata.get_all("Classifier") or () if one.startswith("License")]
    text = " | ".join(fields)

    assert ALLOWED.search(text), f"{name}: {text or 'no licence stated'}"
    assert not FORBIDDEN.search(text), f"{name}: {text}"
