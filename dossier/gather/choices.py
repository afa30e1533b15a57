"""A proposal as a YAML file that a person may edit, and that file back into a proposal.

In: a `Proposal` and its sources; or the bytes of the edited file and the proposal made anew. Out: text;
or the proposal as the person chose it. Must not decide a phase or a slope.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated

from dossier.errors import UnreadableInput
from dossier.gather.asked import Asking
from dossier.gather.heap import PICTURES
from dossier.gather.proposal import Do, Proposal, Proposed
from dossier.gather.run_words import head, known_lines, proposed
from dossier.gather.zips import Refused
from dossier.reading.kinds import Count, Kind, Line, PaperKindWord, PhaseWord, YesNo
from dossier.reading.model import Model, needed, told
from dossier.reading.nodes import MOST_BYTES, parse_tree, read_tree
from dossier.reading.typed import Value, block
from dossier.values import clip, listed
from dossier.words import PaperKind, Phase

HEADER = f"""\
# What dossier gather proposes to file in this job. Nothing has been copied yet. Edit what is wrong, then
# file it with: dossier gather JOB --take THIS-FILE
#
# runs:   photos of one stretch of work. Phase and slope at its head hold for every photo below it; a
#         photo with a phase or slope of its own keeps that. Move a photo's lines to another run, or to files.
# do:     {", ".join(do.value for do in Do)}
# phase:  {", ".join(phase.value for phase in Phase)};
#         blank puts the photo into photos/unsorted/, where check lists it until somebody places it
# slope:  a label of this job; blank for none
# caption: what it shows, in a few words, for the documents
# kind:   for papers, as in papers/KIND-name.pdf: {PaperKind.PERMIT.value}, {PaperKind.TICKET.value}, …;
#         {PaperKind.WRAPPER.value} for pictures of wrappers, which show a lot and no phase
# A file whose lines are deleted is left out. number, file, mark, taken and why are for reading.
"""


def _parse_do(text: str) -> Do:
    word = " ".join(text.lower().replace("-", " ").split())
    try:
        return Do(word)
    except ValueError:
        needed = listed([do.value for do in Do], "or")
        raise ValueError(f"found “{clip(text)}”, needed {needed}") from None


DoWord = Annotated[
    Do,
    Kind(
        "a word from the list",
        Do,
        _parse_do,
        lambda do: str(do.value),
        "photo",
        tuple(do.value for do in Do),
    ),
]


class Choice(Model):
    """What is done with one file."""

    number: Count | None = told("Its number in the table.", example="1")
    file: Line = told("The file.", example="phone/IMG_0001.jpg", default=...)
    mark: Line = told("The first letters of its SHA-256.", example="1f00", default=...)
    do: DoWord | None = told("What is done with it; photo where blank.", example="photo")
    phase: PhaseWord | None = told("The phase it shows.", example="field")
    slope: Line | None = told("The slope it shows.", example="front")
    caption: Line | None = told("What it shows, in a few words.", example="nails")
    kind: PaperKindWord | None = told("What paper it is.", example="ticket")
    taken: Line | None = told("When its camera says.", example="2026-09-14 10:00:00")
    why: Line | None = told("Why that is proposed.", example="folder “deck”")


class RunChoice(Model):
    """What is done with one run of photos; a photo below it may say otherwise for itself."""

    run: Count | None = told("Its number, in the order of time.", example="1")
    knows: Line | None = told(
        "What is known of it.", example="2026-09-14 10:05, 6 photos of phone 1"
    )
    proposed: Line | None = told("What may be proposed, and why.", example="deck, front")
    said: YesNo | None = told("Whether somebody was asked about it.", example="yes")
    do: DoWord | None = told("What is done with it; photo where blank.", example="leave out")
    phase: PhaseWord | None = told("The phase it shows.", example="field")
    slope: Line | None = told("The slope it shows.", example="front")
    files: tuple[Choice, ...] = told("Its photos.", default=())

    def of(self, one: Choice) -> Choice:
        """Return one of its photos with what the photo leaves blank filled in."""
        taken = {
            "do": one.do or self.do or Do.PHOTO,
            "phase": one.phase or self.phase,
            "slope": one.slope or (self.slope if one.phase in (None, self.phase) else None),
        }
        return one.model_copy(update=taken)


class Choices(Model):
    """What a person chose for a heap of files."""

    sources: tuple[Line, ...] = told("Where the files lie.", default=...)
    clocks: tuple[Line, ...] = told(
        "What is added to a phone's times.", example="phone 2: +1h", default=()
    )
    runs: tuple[RunChoice, ...] = told("The photos, in runs.", default=())
    files: tuple[Choice, ...] = told("The files.", default=())

    @property
    def each(self) -> tuple[Choice, ...]:
        """Return what is done with each file, those of runs first."""
        return (*(run.of(one) for run in self.runs for one in run.files), *self.files)


def choices_text(proposal: Proposal, sources: Sequence[Path], asking: Asking | None = None) -> str:
    """Return the file of a proposal. Raises UnreadableInput for one too long to be read back.

    asking: its photos in runs; None to list every file by itself.
    """
    runs = asking.runs if asking else ()
    in_runs = {number for one in runs for number in one.run.numbers}
    whole: dict[str, Value] = {"sources": [str(source) for source in sources]}
    if asking and (clocks := asking.phones.clocks):
        whole["clocks"] = clocks
    if asking and runs:
        by_number = {one.number: one for one in proposal.files}
        whole["runs"] = [_run_fields(asking, at, by_number) for at in range(len(runs))]
    whole["files"] = [_fields(one) for one in proposal.files if one.number not in in_runs]
    text = HEADER + "\n".join(block(whole)) + "\n"
    if len(text.encode()) > MOST_BYTES:
        raise UnreadableInput(
            f"The proposal for {len(proposal.files):,} files would be longer than a record may be.",
            "Gather the sources one after the other.",
        )
    return text


def _run_fields(asking: Asking, at: int, by_number: Mapping[int, Proposed]) -> Value:
    """Return one run: what all its photos share stands at its head, the rest at each photo."""
    said = asking.runs[at]
    photos = [by_number[number] for number in said.run.numbers]
    lines = (head(said.run), *known_lines(asking, at))
    fields: dict[str, Value] = {"run": str(at + 1), "knows": clip("; ".join(map(str, lines)), 1000)}
    offered = proposed(asking, at)
    if offered is not None:
        fields["proposed"] = str(offered)
    if said.answer is not None:
        fields["said"] = "yes"
    dos = {one.do for one in photos}
    if dos != {Do.PHOTO} and len(dos) == 1:
        fields["do"] = photos[0].do.value
    phases, slopes = {one.phase for one in photos}, {one.slope for one in photos}
    # A blank at a photo takes what its run says, so the run says only what all of them share.
    phase = photos[0].phase if len(phases) == 1 else None
    slope = photos[0].slope if len(slopes) == 1 else None
    fields["phase"] = phase.value if phase else ""
    fields["slope"] = slope or ""
    rows: list[Value] = []
    for one in photos:
        row = {name: value for name, value in _fields(one).items() if name not in _SHARED}
        if len(dos) > 1:
            row["do"] = one.do.value
        if one.phase and phase is None:
            row["phase"] = one.phase.value
        if one.slope and slope is None:
            row["slope"] = one.slope
        rows.append(row)
    return {**fields, "files": rows}


_SHARED = ("do", "phase", "slope")


def _fields(one: Proposed) -> dict[str, Value]:
    fields = {"number": str(one.number), "file": one.name, "mark": one.mark, "do": one.do.value}
    if one.seen.fact.kind in PICTURES:
        fields["phase"] = one.phase.value if one.phase else ""
        fields["slope"] = one.slope or ""
        if one.caption:
            fields["caption"] = one.caption
    if one.do is Do.PAPER or one.kind:
        fields["kind"] = one.kind.value if one.kind else ""
    if one.taken:
        fields["taken"] = one.taken
    return {**fields, "why": one.reason}


def read_choices(path: Path) -> Choices:
    """Return an edited proposal; raises UnreadableInput naming the first line that cannot be read."""
    return needed(read_tree(path, path.name), Choices)


def parse_choices(data: bytes, shown_as: str) -> Choices:
    """Return a proposal from its bytes; raises as `read_choices` does."""
    return needed(parse_tree(data, shown_as), Choices)


def chosen(proposal: Proposal, choices: Choices, slope_labels: Sequence[str]) -> Proposal:
    """Return the proposal as the person chose it; files of the heap that it does not list are left out.

    proposal: of the same sources, made anew. A file that is gone or has other bytes by now is named
    among those passed by. Raises UnreadableInput for a slope the job does not have, and for a PDF
    called a photo.
    """
    by_name = {one.name: one for one in proposal.files}
    files: list[Proposed] = []
    refused = list(proposal.refused)
    for choice in choices.each:
        one = by_name.pop(choice.file, None)
        if one is None or one.mark != choice.mark:
            gone = "is not in the sources any more" if one is None else "has changed"
            refused.append(Refused(choice.file, f"{gone} since the proposal was made."))
        else:
            files.append(_chosen(one, choice, slope_labels))
    refused += [Refused(name, "is not in the file of the proposal.") for name in by_name]
    return Proposal(tuple(files), tuple(refused))


def _chosen(one: Proposed, choice: Choice, slope_labels: Sequence[str]) -> Proposed:
    label = next(
        (known for known in slope_labels if known.lower() == (choice.slope or "").lower()), None
    )
    if choice.slope and label is None:
        has = f" It has {listed(list(slope_labels))}." if slope_labels else ""
        raise UnreadableInput(
            f"{choice.file} is put on the slope “{clip(choice.slope)}”, which this job does not have."
            f"{has}",
            "Correct the slope in the file of the proposal, or add it to job.yaml first.",
        )
    do = choice.do or Do.PHOTO
    if do is Do.PHOTO and one.seen.fact.kind not in PICTURES:
        raise UnreadableInput(
            f"{choice.file} is a PDF, and the proposal calls it a photo.",
            "Write do: paper there.",
        )
    return replace(
        one,
        do=do,
        phase=choice.phase,
        slope=label,
        kind=choice.kind,
        caption=choice.caption or "",
    )
