"""A laid-out PDF into one file that is PDF/A-3a and PDF/UA-1 at once.

In: the unwritten PDF of a document laid out as "pdf/a-3a" with tags. Out: the same PDF, changed in
place, before it is written. Must not know what the document says. The layout program can name one
standard only; what the other asks for, and what it leaves wrong in either, is mended here, one
function per matter.

What no finisher can mend, because only the author knows it, raises `NotConforming`: a picture
without an alternative text, a link in the page furniture, a missing title.

The clause numbers of the ISO standards are cited from memory; whether the outcome conforms is
judged in the tests by a program that did not write it.
"""

# pydyf carries no types, so every call of it counts as untyped.
# mypy: allow-untyped-calls

import io
import re
import unicodedata
from collections.abc import Iterator
from typing import Any

import pydyf

from dossier.errors import PageFault

TESTED_WITH = "70.0"
"""The minor version of the layout program whose output this finisher was judged with. It mends what that version
writes; what a newer one leaves otherwise nobody has looked at, so that none is installed."""

PDFUA_DESCRIPTION = b"""\
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about=""
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA Universal Accessibility Schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Which part of ISO 14289 is followed</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""
"""The claim of PDF/UA-1 and the schema that PDF/A asks for with any claim it does not know itself.
Source: ISO 14289-1:2014, clause 5; ISO 19005-3:2012, 6.6.2.3."""


ORNAMENT = "ornament"
"""The title of a picture that adds nothing to the words beside it, and is passed over by a reader."""


class NotConforming(PageFault):
    """The page cannot be made to conform without its author: a fault in a template."""


def conform(_document: object, pdf: pydyf.PDF) -> None:
    """Change the PDF in place so that it claims, and keeps, PDF/A-3a and PDF/UA-1.

    _document: WeasyPrint's document, not looked at; its finishers are called with it. Raises
    `NotConforming` for what only the page's author can mend.
    """
    if not pdf.info.get("Title"):
        # ISO 14289-1:2014, 7.1: a reader announces the title, not the file's name.
        raise NotConforming("a page without a title")
    _claim_both(pdf)
    root = _object(pdf, pdf.catalog["StructTreeRoot"])
    _house_list_items(pdf, dict(_tree(pdf, root)))
    _join_columns(pdf, dict(_tree(pdf, root)))
    ornaments = _take_out_ornaments(pdf, dict(_tree(pdf, root)))
    tree = dict(_tree(pdf, root))
    _refuse_silent_figures(tree)
    _scope_headers(pdf, tree)
    _index_ids(pdf, root, tree)
    _furniture_to_artifacts(pdf, root, tree, ornaments)
    _mend_text_maps(pdf)
    _never_interpolate(pdf)
    _name_attachments_once(pdf)
    # Changing the class of this one object reaches the two streams that only come to be while the
    # file is written, after every finisher; pydyf offers no other way, and no other PDF is touched.
    pdf.__class__ = _UnambiguousStreamEnds


def _object(pdf: pydyf.PDF, reference: bytes) -> Any:
    return pdf.objects[int(reference.split()[0])]


def _claim_both(pdf: pydyf.PDF) -> None:
    """Name both standards in the metadata, and leave it readable without decoding.

    A metadata stream may not be filtered: ISO 19005-3:2012, 6.6.2.1.
    """
    metadata = _object(pdf, pdf.catalog["Metadata"])
    before, end, after = b"".join(metadata.stream).rpartition(b"</rdf:RDF>")
    metadata.stream = [before + PDFUA_DESCRIPTION + end + after]
    metadata.compress = False


def _tree(pdf: pydyf.PDF, root: Any) -> Iterator[tuple[bytes, Any]]:
    """Yield (reference, element) for every structure element that hangs from the root, top down."""
    waiting = list(root["K"])
    while waiting:
        reference = waiting.pop()
        # Marked-content numbers hang beside the references to elements.
        if not isinstance(reference, bytes):
            continue
        element = _object(pdf, reference)
        if element.get("Type") == "/StructElem":
            yield reference, element
            waiting.extend(element["K"])


def _refuse_silent_figures(tree: dict[bytes, Any]) -> None:
    """Raise for a figure without an alternative text: ISO 14289-1:2014, 7.3."""
    silent = sum(element["S"] == "/Figure" and not element.get("Alt") for element in tree.values())
    if silent:
        raise NotConforming(
            f"{silent} picture(s) without an alternative text: an img needs alt, an svg a title"
        )


def _house_list_items(pdf: pydyf.PDF, tree: dict[bytes, Any]) -> None:
    """Put what stands loose in a list item into the item's body: ISO 14289-1:2014, 7.6.

    WeasyPrint makes a body for an item of plain text, but hangs paragraphs from the item itself.
    """
    for reference, item in tree.items():
        if item["S"] != "/LI":
            continue
        housed = [kid for kid in item["K"] if kid in tree and tree[kid]["S"] in ("/Lbl", "/LBody")]
        loose = [kid for kid in item["K"] if kid not in housed]
        if not loose:
            continue
        body = pydyf.Dictionary(
            {
                "Type": "/StructElem",
                "S": "/LBody",
                "K": pydyf.Array(loose),
                "Pg": item["Pg"],
                "P": reference,
            }
        )
        pdf.add_object(body)
        for kid in loose:
            if kid in tree:
                tree[kid]["P"] = body.reference
        item["K"] = pydyf.Array([*housed, body.reference])


def _join_columns(pdf: pydyf.PDF, tree: dict[bytes, Any]) -> None:
    """Make one list again of a list laid out in columns: WeasyPrint hangs a list of its own on each column.

    A reader would announce a list within a list: ISO 32000-1:2008, table 336, what L may hold.
    """
    for reference, element in tree.items():
        columns = [tree[kid] for kid in element["K"] if kid in tree]
        # A list within an item of a list hangs beside that item, so it is never alone there.
        if element["S"] != "/L" or not columns or any(one["S"] != "/L" for one in columns):
            continue
        element["K"] = pydyf.Array(kid for column in columns for kid in column["K"])
        for kid in element["K"]:
            tree[kid]["P"] = reference


def _take_out_ornaments(pdf: pydyf.PDF, tree: dict[bytes, Any]) -> set[bytes]:
    """Take the pictures called `ORNAMENT` out of the tree, and return their references.

    The word a shape stands for is printed beside it; as a figure it would be read out twice.
    """
    ornaments = {
        reference
        for reference, element in tree.items()
        if element["S"] == "/Figure" and "Alt" in element and element["Alt"].string == ORNAMENT
    }
    for reference in ornaments:
        holder = tree[tree[reference]["P"]]
        holder["K"] = pydyf.Array(kid for kid in holder["K"] if kid != reference)
    return ornaments


def _scope_headers(pdf: pydyf.PDF, tree: dict[bytes, Any]) -> None:
    """Give each header cell the scope that the cells' own lists of headers follow.

    WeasyPrint lists, in each data cell, the identifiers of its headers, but leaves the scope out,
    which ISO 14289-1:2014, 7.5, asks for. A header named by a cell of its own row heads the row.
    """
    for element in tree.values():
        if element["S"] != "/TR":
            continue
        cells = [_object(pdf, kid) for kid in element["K"]]
        named = {
            identifier.string
            for cell in cells
            if cell["S"] == "/TD"
            for identifier in cell["A"].get("Headers", ())
        }
        for cell in cells:
            if cell["S"] == "/TH":
                heads_row = "ID" in cell and cell["ID"].string in named
                cell["A"]["Scope"] = "/Row" if heads_row else "/Column"


def _index_ids(pdf: pydyf.PDF, root: Any, tree: dict[bytes, Any]) -> None:
    """List every element that has an identifier: ISO 32000-1:2008, table 322, IDTree.

    Without the list, a cell's Headers name elements that no reader can find.
    """
    named = sorted(
        (element["ID"].string.encode(), element["ID"], reference)
        for reference, element in tree.items()
        if "ID" in element
    )
    if not named:
        return
    names = pydyf.Array()
    for _, identifier, reference in named:
        names.extend((identifier, reference))
    index = pydyf.Dictionary({"Names": names})
    pdf.add_object(index)
    root["IDTree"] = index.reference


def _furniture_to_artifacts(
    pdf: pydyf.PDF, root: Any, tree: dict[bytes, Any], ornaments: set[bytes]
) -> None:
    """Mark what stands in margin boxes as pagination, and ornaments as layout: readers pass over both.

    WeasyPrint tags running heads and page numbers, but hangs their elements nowhere: content
    neither in the tree nor an artifact, against ISO 14289-1:2014, 7.1 and 7.8.
    """
    numbers = _object(pdf, root["ParentTree"])["Nums"]
    pages = len(pdf.page_references)
    for number, owners in zip(numbers[::2], numbers[1::2], strict=True):
        if number >= pages:
            if owners not in tree:
                raise NotConforming("a link in the page furniture: it belongs in the page's text")
            continue
        loose = {
            content: "/Layout" if owner in ornaments else "/Pagination"
            for content, owner in enumerate(owners)
            if owner not in tree
        }
        page = _object(pdf, pdf.page_references[number])
        _mark_artifacts(_object(pdf, page["Contents"]).stream, loose)
        for content in loose:
            owners[content] = "null"
    for place, thing in enumerate(pdf.objects):
        if isinstance(thing, dict) and thing.get("Type") == "/StructElem":
            assert isinstance(thing, pydyf.Object)
            if thing.reference not in tree:
                # Freeing the object would shift the places pydyf writes down for all objects after
                # it in a compressed file, so it is emptied instead.
                pdf.objects[place] = _null_in_place_of(thing)


def _mark_artifacts(operations: list[Any], loose: dict[int, str]) -> None:
    """Turn the marked content with these numbers into artifacts of these types, in a page's operations.

    Each mark is three items in a row: the tag's name, its properties, and the operator `BDC`.
    """
    for place in range(len(operations) - 2):
        if operations[place + 2] != b"BDC":
            continue
        properties = operations[place + 1]
        if isinstance(properties, dict) and properties.get("MCID") in loose:
            operations[place] = b"/Artifact"
            operations[place + 1] = pydyf.Dictionary({"Type": loose[properties["MCID"]]})


class _Null(pydyf.Object):
    """An object that holds nothing, where something stood that nothing refers to any more."""

    @property
    def data(self) -> bytes:
        return b"null"


def _null_in_place_of(thing: pydyf.Object) -> _Null:
    null = _Null()
    null.number = thing.number
    return null


_TEXT_OF_GLYPH = re.compile(rb"<([0-9a-f]{4})> <([0-9a-f]*)>")
_NO_TEXT_OF_ITS_OWN = "\u2060"
"""Word joiner: for a glyph whose text another glyph of its cluster already stands for."""


def _mend_text_maps(pdf: pydyf.PDF) -> None:
    """Give every glyph in use a text: ISO 19005-3:2012, 6.2.11.7; ISO 14289-1:2014, 7.21.7.

    Of a letter with marks, WeasyPrint gives the whole text to one glyph and none to the others, and
    the first use of a glyph decides for all: a Hebrew letter once seen with a vowel would be lost
    from every word.
    """
    for thing in pdf.objects:
        if isinstance(thing, dict) and thing.get("Type") == "/Font" and "ToUnicode" in thing:
            lines = _object(pdf, thing["ToUnicode"]).stream
            entries = [(place, _TEXT_OF_GLYPH.fullmatch(line)) for place, line in enumerate(lines)]
            texts = {
                place: (int(entry[1], 16), bytes.fromhex(entry[2].decode()).decode("utf-16-be"))
                for place, entry in entries
                if entry
            }
            if all(len(text) == 1 for _, text in texts.values()):
                continue
            characters = _characters_by_glyph(_font_file(pdf, thing))
            for place, (glyph, text) in texts.items():
                mended = _own_text(text, characters.get(glyph, []))
                lines[place] = b"<%04x> <%s>" % (glyph, mended.encode("utf-16-be").hex().encode())


def _own_text(text: str, characters: list[str]) -> str:
    """Return the text of one glyph: `text` as laid out, mended by the font's own table."""
    if not text:
        return characters[0] if characters else _NO_TEXT_OF_ITS_OWN
    if len(text) > 1 and any(unicodedata.category(letter).startswith("M") for letter in text):
        # A glyph drawn for the whole cluster, such as é for e and its accent, is none of the
        # letters.
        return next((character for character in characters if character in text), text)
    return text


def _font_file(pdf: pydyf.PDF, font: Any) -> bytes:
    (descendant,) = font["DescendantFonts"][:1]
    descriptor = _object(pdf, _object(pdf, descendant)["FontDescriptor"])
    return b"".join(_object(pdf, descriptor["FontFile2"]).stream)


def _characters_by_glyph(font_file: bytes) -> dict[int, list[str]]:
    """Return, per glyph number, the characters the font draws with it, lowest code first."""
    from fontTools.ttLib import TTFont  # Slow to import, and seldom needed here.

    with TTFont(io.BytesIO(font_file), lazy=True) as font:
        characters: dict[int, list[str]] = {}
        for code, name in sorted((font.getBestCmap() or {}).items()):
            characters.setdefault(font.getGlyphID(name), []).append(chr(code))
    return characters


def _never_interpolate(pdf: pydyf.PDF) -> None:
    """Forbid viewers to smooth pictures: ISO 19005-3:2012, 6.2.8."""
    for thing in pdf.objects:
        if isinstance(thing, pydyf.Stream) and thing.extra.get("Interpolate") == "true":
            thing.extra["Interpolate"] = "false"


def _name_attachments_once(pdf: pydyf.PDF) -> None:
    """Keep each attachment once in the document's list: WeasyPrint collects every one twice."""
    if "AF" in pdf.catalog:
        pdf.catalog["AF"] = pydyf.Array(dict.fromkeys(pdf.catalog["AF"]))


class _UnambiguousStreamEnds(pydyf.PDF):
    """A PDF that ends a stream's data unmistakably.

    pydyf writes one line feed between a stream's data and `endstream`. Where the data itself ends
    in a carriage return, the two together read as one end-of-line marker, and the stream's Length
    as one too long: ISO 19005-3:2012, 6.1.7.1. One compressed stream in 256 ends so by chance.
    """

    _END = b"\nendstream\nendobj"

    def write_line(self, content: bytes, output: Any) -> None:
        if content.endswith(b"\r" + self._END):
            content = content.removesuffix(self._END) + b"\r" + self._END
        super().write_line(content, output)
