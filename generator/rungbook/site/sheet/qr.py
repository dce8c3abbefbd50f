"""QR codes of page addresses (ISO/IEC 18004, by segno), as SVG text."""

from __future__ import annotations

import segno


def page_address(site_url: str | None, page: str) -> str | None:
    """The full address of a page of the site, or None where the site has none."""
    return f"{site_url.rstrip('/')}/{page}" if site_url else None


def qr_svg(address: str) -> str:
    """The code with its quiet zone of four modules; black on white in every scheme."""
    code = segno.make(address, error="m", micro=False)
    size = code.symbol_size(border=4)[0]
    svg: str = code.svg_inline(border=4, omitsize=True, svgclass="qr", lineclass=None, light="#fff")
    # segno gives no words: without them a reader of the screen would hear nothing.
    title = "<title>QR code of the page's address</title>"
    head, tail = svg.split(">", 1)
    if "viewBox" not in head:
        head += f' viewBox="0 0 {size} {size}"'
    return f'{head} role="img">{title}{tail}'
