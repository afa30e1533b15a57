"""Bytes into the kind of file they are, judged by content.

In: the bytes of a file. Out: one of a few words. Must not know the file's name: a name proves
nothing.
"""

import codecs

TEXT_SAMPLE_BYTES = 4096
"""How much of a file is looked at to tell text from anything else."""

PDF_HEADER_WITHIN_BYTES = 1024
"""How far into a file a PDF may begin. Source: PDF Reference 1.7, appendix H, note 13."""

_HEIC_BRANDS = frozenset((b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"))
_HEIF_BRANDS = frozenset((b"mif1", b"msf1"))


def kind_of(data: bytes) -> str:
    """Return "jpeg", "png", "heic", "tiff", "webp", "pdf", "text" or "unknown".

    Sources: ITU-T T.81 annex B (JPEG), W3C PNG third edition 5.2, ISO/IEC 23008-12 (HEIF brands),
    TIFF 6.0 section 2, RFC 9649 (WebP), ISO 32000-1:2008 7.5.2 (PDF).
    """
    if data.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data.startswith((b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")):
        return "tiff"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    if data[4:8] == b"ftyp" and _is_heic(data):
        return "heic"
    if b"%PDF-" in data[:PDF_HEADER_WITHIN_BYTES]:
        return "pdf"
    return "text" if _is_text(data[:TEXT_SAMPLE_BYTES]) else "unknown"


def is_gif(data: bytes) -> bool:
    """Return whether these bytes begin like a GIF. Source: GIF89a specification, section 17."""
    return data.startswith((b"GIF87a", b"GIF89a"))


def _is_heic(data: bytes) -> bool:
    # Both HEIC and AVIF may name the general brand mif1 first; only the list behind it parts them.
    box_bytes = min(int.from_bytes(data[:4], "big"), 256)
    brands = {data[8:12]} | {data[at : at + 4] for at in range(16, box_bytes, 4)}
    return bool(brands & _HEIC_BRANDS) or (bool(brands & _HEIF_BRANDS) and b"avif" not in brands)


def _is_text(sample: bytes) -> bool:
    if not sample:
        return False
    if sample.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return True
    if any(byte < 32 and byte not in b"\t\n\r\f\x1b" for byte in sample):
        return False
    try:
        # The sample may end inside a character, which an incremental decoder forgives.
        codecs.getincrementaldecoder("utf-8")().decode(sample)
    except UnicodeDecodeError:
        return False
    return True
