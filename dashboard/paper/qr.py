"""A QR code as a drawing: the address of a page that a phone opens."""

from io import BytesIO

import segno

QUIET_MODULES = 4
"""The blank edge that ISO/IEC 18004 asks for, in modules."""


def qr_drawing(address: str) -> str:
    """The code of an address as SVG, black on white, with its blank edge; medium error correction."""
    out = BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", border=QUIET_MODULES, xmldecl=False, svgns=True)
    return out.getvalue().decode()
