"""Draw an address as a QR code (ISO/IEC 18004), to be printed on labels and posters."""

from io import BytesIO
from typing import Final

import segno

QUIET_ZONE: Final = 4
"""Light modules around the code: ISO/IEC 18004, quiet zone of a QR code."""


def qr_svg(address: str) -> bytes:
    """Draw an address as an SVG file, black on white, that scales to any size.

    Error correction is level M, which bears some dirt on a shelf. Raises ValueError for an address
    that is empty, or longer than a QR code holds.
    """
    if not address:
        raise ValueError("there is no address to draw")
    try:
        code = segno.make_qr(address, error="m", boost_error=False)
    except segno.DataOverflowError as fault:
        raise ValueError("the address is longer than a QR code holds") from fault
    drawn = BytesIO()
    code.save(
        drawn,
        kind="svg",
        border=QUIET_ZONE,
        dark="black",
        light="white",
        omitsize=True,
        svgclass=None,
        lineclass=None,
    )
    return drawn.getvalue()
