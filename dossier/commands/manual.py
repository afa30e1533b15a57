"""The manuals in `docs/`, printed from the code that they describe.

In: the models of the record and the sheets, the rule book, the exit codes; all read, none changed.
Out: Markdown and one JSON Schema, the same text on every run. Must not know any job. Run it with
`python -m dossier.commands.manual` after a field, a rule or an exit code has changed.
"""

import re
from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path

from pydantic.fields import FieldInfo

from dossier.commands.blanks_manual import blanks_manual
from dossier.commands.record_schema import schema_text
from dossier.errors import EXIT_CODE_MEANINGS, ExitCode
from dossier.index.answer import MOST_LOOKED_AT
from dossier.index.card import FILE_NAME as CARD
from dossier.index.migrations import schema_text as schema_text_of_index
from dossier.index.migrations import steps
from dossier.index.scan import MOST_LEVELS as MOST_LEVELS_OF_FOLDERS
from dossier.index.store import FILE, WORK
from dossier.punchlist import Holds, Weight
from dossier.reading.declared import readers_of, repeats, unit_of
from dossier.reading.kinds import MOST_CHARACTERS, Kind
from dossier.reading.model import ALL, Model, is_list, kind_in, model_in
from dossier.reading.nodes import MOST_BYTES, MOST_LEVELS
from dossier.reading.shape import SHAPE_FAULTS
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.rules.book import rule_book
from dossier.rules.declare import Rule
from dossier.rules.families import FAMILIES
from dossier.terms.office import Company, Locality
from dossier.terms.own_words import OwnWords
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.terms.suppliers import Supplier
from dossier.values import listed
from dossier.words import Edition

HOW_TO_REWRITE = "python -m dossier.commands.manual"

_PRINTED = f"*This page is printed from the code; change it there, then run `{HOW_TO_REWRITE}`.*\n"

_RECORD_INTRO = f"""# The record of one job

{_PRINTED}
A job folder holds `job.yaml`, which a person types, and may hold `photos.yaml`, which says more
about single photos. What happens after the job is sealed is an `entry.yaml` of its own, beside the
sealed folder. This page lists every field of the three: what it means, what to write, what holds where
it is blank, and which documents may show it.

## How a record is read

- Every value is read as the text that was typed, and the field's own kind makes sense of it. A
  pitch of `4:12`, a lot `0012345`, a lot `1E5` and a lot `NO` come through as written, without
  quotes.
- A length, an area or an amount without a unit of its own is in the unit named beside the field.
- A value with a colon and a space, or a space and `#`, inside it belongs in quotes.
- A blank field says that nobody answered yet. A field that does not apply says so **with the
  reason**: `n/a, no valleys on this roof`. The two are different answers.
- A value that a new job took over from another says so: `6, as on 2026-041`. It counts as blank until
  somebody takes the words away, or confirms it: nobody has said yet that it holds on this roof. A needed
  field counts, and holds the handover and the registration. Only what an office does alike from house to
  house is taken over; such fields have “repeats” beside what they mean.
- A field that may hold a list also takes one entry alone, without a dash. Lists of words, of
  labels and of names (colours, inspections, members of a crew) may stand on one line, parted by commas or
  by ` + `.
- A group with a one-line form may be written as that line; the long form can always say more. In the line
  as a whole, what is in brackets may be left out, and what is in capitals is filled in.
- A field that is not on this page is an item on the punch list, never ignored.
- One document a file, UTF-8, at most {MOST_BYTES // 1024 // 1024} MB, {MOST_LEVELS} levels and
  {MOST_CHARACTERS:,} characters a field; no anchors, aliases, tags or repeated fields.

`record.schema.json` beside this page says the same to an editor that checks YAML while you type.
"""

_SHEETS_INTRO = f"""# The sheets of the office folder

{_PRINTED}
What holds for many jobs is typed in once, in the office folder: the company, one sheet for each
permit office, one for each edition of a maker's printed terms, and the catalogues of products.
They are read as records are: see “How a record is read” in `record.md`. The printed document
decides; a sheet repeats what it says, clause by clause, so that sums can be done.
"""

_RULES_INTRO = f"""# The rules

{_PRINTED}
Every item on a punch list comes from one rule. Here is each rule with its reason, its source, who
owes the item and how it is mended. The indented lines are sentences as the list
prints them. A rule that lacks what it needs says that it cannot tell; it never passes by silence.

The tool gives no legal advice and no structural judgement: local code, the permit office, the
maker's printed terms and licensed practice decide.

What an item holds is what it keeps from being done: {listed([h.value for h in Holds])}. An
item that holds nothing either weakens a later claim or is a note.
"""

_INDEX_INTRO = f"""# The index of an office

{_PRINTED}
`find`, `lots`, `due` and `office` answer from one SQLite file in the office folder,
`{WORK}/{FILE}`. The job folders are the truth; the index is a convenience that is made from them.
It can be deleted at any time, or copied nowhere: the next question makes it again, and one that is
made again equals one that was kept current, row by row. It holds owners' names and telephones:
it is the office's own and goes into no document.

- `dossier index` looks at every folder and reads those whose files changed, by size and time: the record, the
  punch list, every later entry, the sheets, and of a job that is not closed `photos.yaml` and the folders of
  photos and papers. `--rebuild` reads every one.
- `build`, `seal`, `gather` and every later entry bring their own job up to date. They also leave a card in the
  job, `{WORK}/{CARD}`: the rows of its record as it counts, with the digest of each file they were made from,
  which are the record, the later entries and the sheets. That never fails the command: what cannot be
  written is one line on standard error, and a folder that takes no card has none.
- A job is taken from its card where all those files still hold the same bytes. Where one does not, or there is
  no card (the job was never built, or its card was deleted), the record is read anew, with the same rows. A card
  that is a link, too large, damaged or of another form is as good as none. It is no part of what is sealed.
- Up to {MOST_LOOKED_AT:,} jobs, every question looks at all folders first. Above that a question answers
  from the index as it stands and says so.
- A job is any folder with a `job.yaml` below the office folder, at most {MOST_LEVELS_OF_FOLDERS} levels deep: not
  below another job, not in a folder whose name begins with a dot, not behind a link.
- A record is read as far as it goes: a field that cannot be read is blank in the index, and named; a record of
  which nothing can be read is there under its folder's name, with the reason. A job in a folder that
  cannot be looked into stays in the index as it was last read. So that none is dropped in silence, such folders
  are named below every answer of `find`, `lots`, `due` and `office` that they could change, as are a folder with
  `sealed/` and no `job.yaml` and one whose name is no text; the exit code is then 3. A job whose folder is gone is
  named once, when it is taken out.
- Readers go on while one run writes. A kill leaves a whole index that is merely older. A file that is
  damaged, missing or of another form is made again, and that is said. Where the folder may not be
  written, the index is made in memory for the one question.
- Last days are kept, days left are counted when asked. The last day of a registration follows from the
  record and the terms sheet: today's sheet for an open job, the copy in `as-built/` for a sealed one. So do the
  role and the maker of a product from the catalogues.
  The other days come from the punch list as last built. A list that is older than `job.yaml` or `photos.yaml`
  says so, and of a job that is not closed one that is older than a folder of its photos or papers. That goes
  by times alone: a photo written over under its own name is not seen, nor one deeper than `photos/PHASE/`.
- A sale asks for notice by the rule that `dossier transfer` prints by: not where the terms call it no sale, nor
  where it is one too many or the roof too old for them. Whether a level's conditions are met takes the whole
  job and is not looked at: where no confirmation of its registration is on record, the level that holds
  without one is named beside it. The company's own coverage counts too. A claim asks for notice to the maker
  until an entry of it says `maker_told_on`.
- `find` wants every word in one job, in any field; of a word its first three letters are enough, in any
  case, with or without accents and hyphens. Jobs with the whole words come first, the newest of them first.
- A misspelt street is looked for among the words of all addresses, by optimal string alignment
  distance: one slip in four or five letters, two in more. What it was taken for is said.

## What is in it
"""

_INDEX_FORMS = """## Its forms

An older file is brought to the newest form step by step, each step in one transaction with its own row
in the table `migration`; then every job is read anew.

| form | name |
|---|---|
"""

_EXIT_INTRO = f"""# Exit codes

{_PRINTED}
What the command line promises to scripts. Results go to standard output, everything else to
standard error.

| code | means |
|---|---|
"""


# --- the record and the sheets ------------------------------------------------------------------


def record_manual() -> str:
    """Return the manual of `job.yaml`, `photos.yaml` and `entry.yaml`, as Markdown."""
    files: list[tuple[str, type[Model]]] = [
        ("job.yaml", Job),
        ("photos.yaml", PhotoList),
        ("entry.yaml", Entry),
    ]
    return _RECORD_INTRO + _files_manual(files, with_readers=True)


def terms_manual_fields() -> str:
    """Return the manual of the sheets in the office folder, as Markdown."""
    files: list[tuple[str, type[Model]]] = [
        ("company.yaml", Company),
        ("localities/NAME.yaml", Locality),
        ("terms/NAME.yaml", TermsSheet),
        ("terms/NAME.catalogue.yaml", Catalogue),
        ("suppliers/NAME.yaml", Supplier),
        ("words.yaml", OwnWords),
    ]
    return _SHEETS_INTRO + _files_manual(files, with_readers=False)


def _files_manual(files: list[tuple[str, type[Model]]], *, with_readers: bool) -> str:
    told: set[type[Model]] = set()
    parts: list[str] = []
    kinds: dict[tuple[str, str], Kind] = {}
    for file, model in files:
        parts.append(f"\n## `{file}`\n\n{_first_line(model)}\n\n")
        parts.append(_table(model, with_readers=with_readers))
        groups = [model, *_groups_below(model)]
        for group in groups:
            plain = (kind for kind in _kinds(group) if not kind.choices)
            kinds.update({(kind.name, kind.example): kind for kind in plain})
        for group in groups[1:]:
            if group not in told:
                told.add(group)
                parts.append(_group_section(group, with_readers=with_readers))
    parts.append("\n## Kinds of value\n\n| kind | as in |\n|---|---|\n")
    parts.extend(f"| {kind.name} | `{kind.example}` |\n" for _, kind in sorted(kinds.items()))
    return "".join(parts)


def _group_section(model: type[Model], *, with_readers: bool) -> str:
    short = (
        f"On one line: `{model.short_form}`; whole: {_grammar(model)}\n\n"
        if model.short_form
        else ""
    )
    table = _table(model, with_readers=with_readers)
    return f"\n### {_title(model)}\n\n{_first_line(model)}\n\n{short}{table}"


def _grammar(model: type[Model]) -> str:
    """Return all that a one-line form takes, as the function that reads it says."""
    forms = re.findall(r"`[^`]+`", model.from_text.__doc__ or "")
    assert forms, f"{model.__name__}.from_text does not say what it reads"
    return " or ".join(forms)


def _table(model: type[Model], *, with_readers: bool) -> str:
    heads = ["field", "means", "write", "unit", "example", "if blank"]
    if with_readers:
        heads.append("who may read it")
    rows = [heads, ["---"] * len(heads)]
    for name, info in model.model_fields.items():
        example = (info.examples or [""])[0]
        row = [
            f"`{name}`",
            f"{info.description or ''}{' *(repeats)*' if repeats(info) else ''}",
            _what_to_write(info) + _short_word(model, name),
            unit_of(info),
            f"`{example}`" if example else "",
            _if_blank(info),
        ]
        if with_readers:
            row.append(_who(info))
        rows.append(row)
    return "".join("| " + " | ".join(_cell(part) for part in row) + " |\n" for row in rows)


def _short_word(model: type[Model], name: str) -> str:
    word = next((word for word, field in model.short_words.items() if field == name), "")
    return f"; on one line `{word} …`" if word else ""


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def _what_to_write(info: FieldInfo) -> str:
    kind, group = kind_in(info), model_in(info.annotation)
    if group is not None:
        what = f"[{_title(group).lower()}](#{_title(group).lower().replace(' ', '-')})"
    else:
        assert kind is not None
        what = f"one of: {', '.join(kind.choices)}" if kind.choices else kind.name
    return f"list of {what}" if is_list(info.annotation) else what


def _if_blank(info: FieldInfo) -> str:
    if info.is_required():
        return "**needed**"
    if info.default in (None, "", ()) or isinstance(info.default, Model):
        return ""
    kind = kind_in(info)
    assert kind is not None
    return str(kind.write(info.default))


def _who(info: FieldInfo) -> str:
    readers = readers_of(info) or frozenset()
    if readers == ALL:
        return "everyone"
    return ", ".join(edition.value for edition in Edition if edition in readers)


def _kinds(model: type[Model]) -> Iterator[Kind]:
    for info in model.model_fields.values():
        kind = kind_in(info)
        if kind is not None:
            yield kind


def _groups_below(model: type[Model]) -> list[type[Model]]:
    """Return the groups inside a model, each once, in the order in which a reader meets them."""
    found: list[type[Model]] = []

    def walk(group: type[Model]) -> None:
        for info in group.model_fields.values():
            inner = model_in(info.annotation)
            if inner is not None and inner is not model and inner not in found:
                found.append(inner)
                walk(inner)

    walk(model)
    return found


def _title(model: type[Model]) -> str:
    """Return the name of a group as words: Plan size."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", model.__name__).capitalize()


def _first_line(model: type[Model]) -> str:
    return (model.__doc__ or "").strip().splitlines()[0]


# --- the rules and the exit codes ---------------------------------------------------------------


def rules_manual() -> str:
    """Return the manual of the trade's rules, by family, as Markdown."""
    rules = list(rule_book())
    parts = [_RULES_INTRO]
    for family in FAMILIES.values():
        parts.append(f"\n## {family.title}\n\n{family.about}\n")
        parts.extend(
            f"\n### {rule.title[0].upper()}{rule.title[1:]} ({rule.id})\n\n{rule_page(rule)}"
            for rule in rules
            if rule.family == family.title
        )
    parts.append(blanks_manual())
    parts.append(
        "\n## What cannot be read\n\n"
        "These are found before any rule is asked. Each holds everything, since nothing can be "
        "judged from a record that cannot be read, and each is owed by the office.\n"
    )
    parts.extend(
        f"\n### {fault.title} ({fault.id})\n\n{fault.why} {fault.remedy}\n"
        for fault in SHAPE_FAULTS
    )
    return "".join(parts)


def rule_page(rule: Rule) -> str:
    """Return one rule as a passage of the manual: reason, sentences as printed, remedy, weight, source."""
    found = [example.finds for example in rule.examples if example.finds is not None]
    said = "".join(f"> {' '.join(one.split())}\n>\n" for one in found).removesuffix(">\n")
    asked = f" Its page asks: “{rule.asks}”" if rule.asks else ""
    return (
        f"{' '.join(rule.why.split())}\n\n{said}\n"
        f"Owed by the {rule.owed_by.value}: {' '.join(rule.remedy.split())}{asked}\n\n"
        f"Holds {_holds(rule)}. *Source: {' '.join(rule.source.split())}.*\n"
    )


def _holds(rule: Rule) -> str:
    held: list[str] = [_word(holds) for holds in Holds if holds in rule.holds]
    if held:
        return listed(held)
    return "nothing; a note" if rule.lighter is Weight.NOTE else "nothing; it weakens a later claim"


def _word(member: StrEnum) -> str:
    return str(member.value)


def exit_codes_manual() -> str:
    """Return the exit codes of the command line and what each means, as Markdown."""
    rows = (f"| {code.value} | {EXIT_CODE_MEANINGS[code]} |\n" for code in ExitCode)
    return _EXIT_INTRO + "".join(rows)


# --- the index ----------------------------------------------------------------------------------


def index_manual() -> str:
    """Return the manual of the office index with its whole schema, as Markdown."""
    forms = "".join(f"| {step.number} | {step.name} |\n" for step in steps())
    return f"{_INDEX_INTRO}\n```sql\n{schema_text_of_index()}```\n\n{_INDEX_FORMS}{forms}"


def manuals() -> dict[str, str]:
    """Return every printed manual by the name of its file in `docs/`."""
    return {
        "record.md": record_manual(),
        "sheets.md": terms_manual_fields(),
        "record.schema.json": schema_text(),
        "rules.md": rules_manual(),
        "exit-codes.md": exit_codes_manual(),
        "office-index.md": index_manual(),
    }


def write_all(docs: Path) -> None:
    """Write every printed manual into a folder, over what stood there."""
    for name, text in manuals().items():
        (docs / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write_all(Path(__file__).resolve().parents[2] / "docs")
