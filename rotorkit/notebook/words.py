"""What a form and a page say, as HTML: verdicts, messages, tables. Pure functions; all that was typed is escaped."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from rotorkit.edges.program import NO_MEMORY
from rotorkit.edges.visible import escaped as escape
from rotorkit.folder.drafts import Draft
from rotorkit.folder.standing import Standing
from rotorkit.formula import Worked
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.judging.measured import BudgetRow, Measured
from rotorkit.notebook.style import VERDICT_CLASS
from rotorkit.pictures.paper import mark
from rotorkit.quantities import say
from rotorkit.record import CHANGED, NEVER, SAVED, BoardRow, History, SavedEntry
from rotorkit.record.moves import Move
from rotorkit.sheets.base import AN_ESTIMATE, NOBODY_KNOWS, Finding, Outcome
from rotorkit.sheets.parts_words import missing_words
from rotorkit.sheets.working import capital

NO_LONGER_SO = "It no longer stands as it was saved:"
"""Before what the same readings come to otherwise today."""

WORDING = {
    OUT_OF_LIMITS: "At least one figure is outside its limit, by more than its uncertainty.",
    TOO_CLOSE: "At least one figure is too close to its limit, given the uncertainty of the readings.",
    UNDONE: "Something is still to be done or looked at before there is a verdict.",
    NO_LIMIT: "No figure is out of limits, but one has no limit: write the manual's limit into the aircraft file.",
    IN_LIMITS: "Every figure that has a limit is inside it, with its whole uncertainty.",
}


def wrong(message: str, lead: str = "") -> str:
    """A message that keeps the readings from being worked."""
    start = f"<b>{escape(lead)}</b> " if lead else ""
    return f'<p class="rotorkit-wrong" role="status">{start}{escape(message)}</p>'


def doubt(message: str) -> str:
    """A reading that is taken, but questioned."""
    return f'<p class="rotorkit-note" role="status"><b>Check this:</b> {escape(message)}</p>'


def note(message: str) -> str:
    """A plain note."""
    return f'<p class="rotorkit-note">{escape(message)}</p>'


def why_not(problems: Mapping[str, str], titles: Mapping[str, str]) -> str:
    """Why there is no verdict: the fields to look at, and what is no field's own.

    Arguments: problems, message by field path ("" for no single field); titles, the field's title by path.
    """
    waiting = [titles[path] for path, said in problems.items() if path in titles and said == "is missing"]
    faulty = [titles[path] for path, said in problems.items() if path in titles and said != "is missing"]
    parts = [
        wrong(said if not path else f"{path}: {said}", "No verdict yet:")
        for path, said in problems.items()
        if path not in titles
    ]
    if faulty:
        parts.append(wrong(f"look at {'; '.join(faulty)}", "No verdict yet:"))
    if waiting:
        start = "" if parts else "No verdict yet. "
        parts.append(note(f"{start}Still to be filled in: {'; '.join(waiting)}."))
    return "".join(parts)


def lacks_figures(number: int) -> str:
    """Why there is no verdict where figures of the aircraft are still to come."""
    one = number == 1
    said = "a figure of the aircraft is" if one else f"{number} figures of the aircraft are"
    return f"{said} still to be filled in, at the top of the form"


def at_fault(problems: Mapping[str, str], titles: Mapping[str, str]) -> str:
    """The fields that keep the readings from being worked, by name; what is no field's own stands at the form's top."""
    return "; ".join(titles[path] for path in problems if path in titles) or "the top of the form"


def fault(error: Exception) -> str:
    """An error that nobody foresaw, in a plain sentence."""
    if isinstance(error, MemoryError):
        return wrong(f"{capital(NO_MEMORY)} No verdict is shown.", "Not worked out:")
    told = f"{type(error).__name__}: {error}".rstrip(": ")
    return wrong(
        f"these readings could not be worked out ({told}). It is not your mistake, and no verdict is shown. Please "
        "report "
        f"it with the readings; a cell with  raise form.fault  shows where it arose.",
        "A fault in rotorkit itself:",
    )


def understood(message: str) -> str:
    """What was understood of a field."""
    return f'<p role="status">understood: {escape(message)}</p>'


def hint(message: str) -> str:
    """How a field's reading is taken."""
    return f'<p class="rotorkit-hint">{escape(message)}</p>' if message else ""


def kept(
    word: str,
    entry: SavedEntry | None,
    standing: Standing,
    draft: Draft | None,
    not_kept: str = "",
    moved: Sequence[Move] = (),
) -> str:
    """Which readings stand in a form, and whether they are in the record.

    Arguments: word, one of the record's; entry, what stands there for the check; standing, what there is of it; draft,
    what the form keeps unsaved; not_kept, why nothing can be kept or told, or an empty text; moved, what the same
    readings come to otherwise than when they were saved.
    """
    if not_kept:
        return note(not_kept)
    of = f"entry {entry.number} of {entry.local:%Y-%m-%d %H:%M}, by {entry.who}" if entry is not None else ""
    if word == SAVED:
        told = f"What is in the form is in the record: {of}."
    elif draft is not None:
        told = f"Your draft of {draft.when}, not saved."
    elif word == NEVER:
        told = standing.own_sentence
    else:
        told = "What is in the form is not in the record."
    if word == CHANGED:
        told += f" Last saved: {of}."
    told += standing.besides_what(word == SAVED, draft)
    said = f'<p class="rotorkit-kept" role="status"><b>{escape(capital(word))}.</b> {escape(told)}</p>'
    return said + (wrong(f"{moved[0].sentence}. Look at it, and save it again.", NO_LONGER_SO) if moved else "")


def not_in_file(limits: Sequence[str]) -> str:
    """That limits were typed by which the verdict does not go. limits: their names."""
    them = "it" if len(limits) == 1 else "them"
    said = (
        f"{'; '.join(limits)}. The verdict does not know of {them}: behind the button Limits, write {them} or put back"
    )
    return wrong(f"{said} what is in the file.", "Limit typed and not in the aircraft file yet:")


def limits_not_written(limits: Sequence[str]) -> str:
    """Why nothing was saved where limits were typed by which the verdict does not go, and what to do. limits: their
    names."""
    what, them = ("A limit is", "it") if len(limits) == 1 else ("Limits are", "them")
    return (
        f"{what} typed and not in the aircraft file yet: {'; '.join(limits)}. The verdict does not know of {them}, and "
        f"nothing was saved. Behind the button Limits, write {them} and look at the verdict, then save; or press Save "
        "again now, and it is saved as judged by the limits in the file."
    )


def refused(message: str) -> str:
    """Why nothing was saved; a screen reader says it at once."""
    return f'<p class="rotorkit-wrong" role="alert">{escape(message)}</p>'


def done(message: str) -> str:
    """What was done."""
    return f'<p class="rotorkit-done" role="status">{escape(message)}</p>'


def saved(entry: SavedEntry) -> str:
    """That an entry was saved."""
    of = f", which replaces entry {entry.replaces}" if entry.replaces is not None else ""
    hand = "".join(f" By hand, {one.title}: {one.typed}, {one.word}." for one in entry.by_hand)
    return done(
        f"Saved as entry {entry.number}{of}, {entry.local:%Y-%m-%d %H:%M}: {entry.word}. It is on the drive. Its hash, "
        f"to note elsewhere, begins with {entry.hash[:16]}.{hand}"
    )


def earlier_entries(past: History, most: int, untrue: Mapping[int, str] | None = None) -> str:
    """The entries of a check, newest first, each with its verdict, and folded away its readings and figures; of one
    that is not what was saved only that it is not (untrue: why, by its number)."""
    untrue = untrue or {}
    if not past.rows:
        return hint("Earlier entries of this check will appear here.")
    rows = []
    for row in list(reversed(past.rows))[:most]:
        entry = row.entry
        if fault := untrue.get(entry.number, "") or (f"entry {entry.number} {entry.fault}" if entry.fault else ""):
            told_so = f"<b>Not as it was saved:</b> {escape(fault)}. Nothing of it is shown."
            rows.append((str(entry.number), "", "<b>no verdict</b>", "", told_so, ""))
            continue
        told = [escape(entry.note).replace("\n", "<br>")] if entry.note else []
        told += [escape(f"By hand, {one.title}: {one.typed}, {one.word}.") for one in entry.by_hand]
        if entry.replaces is not None:
            told.append(f"Corrects entry {entry.replaces}: {escape(entry.why)}")
        if row.replaced_by is not None:
            told.append(f"<b>Replaced by entry {row.replaced_by}.</b>")
        when = f"{entry.local:%Y-%m-%d %H:%M}"
        rows.append((str(entry.number), when, verdict_word(entry.word), entry.who, "<br>".join(told), _within(entry)))
    heads = ("Entry", "Saved", "Worst verdict", "Done by", "Note", "What it holds")
    said = table("Earlier entries of this check, newest first", heads, rows, raw=(2, 4, 5))
    more = len(past.rows) - most
    return said + (hint(f"And {more} more: 'rotorkit record list' lists all.") if more > 0 else "")


def job(row: BoardRow) -> str:
    """How a job of the status board stands, and what to do."""
    told = [*row.causes, *row.notes, *([f"to do: {row.todo}"] if row.todo else [])]
    return word_of(row) + "".join(f"<br>{escape(capital(one))}." for one in told)


def sentence(told: str) -> str:
    """What is told, as a sentence."""
    return f"{capital(told)}."


def sentences(told: Iterable[str]) -> str:
    """Sentences one below the other."""
    return "<br>".join(escape(sentence(one)) for one in told)


def word_of(row: BoardRow) -> str:
    """The word of a job of the status board, and the entry that it rests on."""
    word = verdict_word(row.word) if row.word in VERDICT_CLASS else f"<b>{escape(row.word)}</b>"
    of = f" entry {row.entry.number}, {row.entry.local:%Y-%m-%d}" if row.entry is not None else ""
    if row.entry is not None and row.verdict != row.word:
        of += f", {row.verdict} when saved"
    return f"{word}{escape(of)}"


def opens(sheet: str, check: str | None, said: str, of: str = "") -> str:
    """A link to a sheet's notebook, opened in the same JupyterLab. check: the check that its form turns to, "" for an
    empty form, None for the one that it begins with; said: what the link says; of: the rotor or cable that an empty
    form is to be of."""
    with_check = "" if check is None else f' data-rotorkit-check="{escape(check)}"'
    with_check += f' data-rotorkit-of="{escape(of)}"' if of else ""
    notebook = escape(f"{sheet}.ipynb")
    return f'<a href="{notebook}" data-rotorkit-open="{notebook}"{with_check}>{escape(said)}</a>'


def opens_file(file: Path, said: str) -> str:
    """A link to a file of the folder that the notebook lies in, opened in the same JupyterLab; a file that lies
    elsewhere is named with its folder. said: what the link says."""
    here = Path.cwd()
    if file.parent.resolve() != here.resolve():
        return escape(str(file))
    return f'<a href="{escape(file.name)}" data-rotorkit-open="{escape(file.name)}">{escape(said)}</a>'


def _within(entry: SavedEntry) -> str:
    """An entry's readings and figures, folded away."""
    read = "".join(f"<li>{escape(one.title)}: {escape(one.typed)}</li>" for one in entry.understood if one.typed)
    figures = "".join(
        f"<li>{escape(found.title)}: {escape(found.row()[1])}, {escape(found.verdict.word)}</li>"
        for found in entry.findings
        if not found.aside
    )
    return (
        f"<details><summary>entry {entry.number}</summary><p>Readings as typed</p><ul>{read}</ul>"
        f"<p>Figures</p><ul>{figures}</ul></details>"
    )


def verdict_word(word: str) -> str:
    """A verdict's word with its mark."""
    drawn = (
        '<svg aria-hidden="true" width="18" height="18" viewBox="-9 -9 18 18" '
        'style="vertical-align:-4px;margin-right:6px">'
        f'<circle r="9" fill="#ffffff"/>{mark(0, 0, word, 5.0)}</svg>'
    )
    return f'<span class="rotorkit-word {VERDICT_CLASS.get(word, "no-limit-given")}">{drawn}{escape(word)}</span>'


SHOWN = 4
"""How many figures the verdict in words names before it points to the table."""


def told(outcome: Outcome) -> set[str]:
    """The keys of the findings that the verdict in words tells in full."""
    if outcome.word not in (OUT_OF_LIMITS, TOO_CLOSE):
        return set()
    return {finding.key for finding in _bearing(outcome)[:SHOWN]}


def _bearing(outcome: Outcome) -> list[Finding]:
    return [found for found in outcome.findings if not found.aside and found.verdict.word == outcome.word]


def answer(outcome: Outcome, limits_under: str = "") -> str:
    """The answer in short, for what stays in sight: the worst word and what to do; under it what leads. limits_under:
    the button behind which limits are typed in, or an empty text where they are typed in with the aircraft."""
    first = outcome.told_to_do or outcome.to_do
    rest = outcome.to_do.removeprefix(first).strip()
    known = (AN_ESTIMATE, *NOBODY_KNOWS)  # how sure it is; any other lead is what physics does not allow
    refused = [one for one in outcome.lead if not one.startswith(known)]
    where = ""
    if outcome.word == NO_LIMIT:
        here = f"The button {escape(limits_under)} below opens the place to type the limit in."
        where = f" {here}" if limits_under else f" {opens('aircraft', None, 'Type it in')}."
    said = f"<p>{verdict_word(outcome.word)} <b>{escape(' '.join([*refused, first]))}</b>{where}</p>"
    # what each figure asks for stands in the table too
    leads = " ".join(one for one in outcome.lead if one not in refused) or rest
    if outcome.missing and (missing := missing_words(outcome.missing)) not in f"{first} {leads}":
        leads = f"{leads} {missing}"  # which stands nowhere else in the form
    if leads:
        said += f'<p class="rotorkit-leads">{escape(leads)}</p>'
    return f'<div class="rotorkit-head {VERDICT_CLASS[outcome.word]}" role="status">{said}</div>'


def headline(outcome: Outcome) -> str:
    """The verdict in words: the worst word, what leads and what is missing, the figures that bear it, and what would
    settle them."""
    word = outcome.word
    bearing = _bearing(outcome)
    parts = [f"<p>{verdict_word(word)}</p>", *(f"<p><b>{escape(said)}</b></p>" for said in outcome.first)]
    parts.append(f"<p>{escape(WORDING[word])}</p>")
    if word in (OUT_OF_LIMITS, TOO_CLOSE):
        parts += [f"<p>{_in_a_line(finding)}</p>" for finding in bearing[:SHOWN]]
        if len(bearing) > SHOWN:
            parts.append(f"<p>And {len(bearing) - SHOWN} more, in the table below.</p>")
    elif word in (UNDONE, NO_LIMIT):
        counted = [found for found in outcome.findings if not found.aside]
        limited = [found for found in counted if found.verdict.word == IN_LIMITS]
        undone = [found for found in counted if found.verdict.undone]
        bare = [found for found in counted if found.verdict.word == NO_LIMIT]
        parts += [
            f"<p><b>{escape(finding.title)}</b>: {escape(finding.verdict.settle)}.</p>" for finding in undone[:SHOWN]
        ]
        if len(undone) > SHOWN:
            parts.append(f"<p>And {len(undone) - SHOWN} more to do, in the table below.</p>")
        names = ", ".join(found.title for found in bare)
        without = f"Without a limit: {escape(names)}. " if bare else ""
        parts.append(f"<p>{without}In limits so far: {len(limited)} of {len(counted)} figures.</p>")
    elif len(bearing) == 1:
        parts.append(f"<p>{_in_a_line(bearing[0])}</p>")
    else:
        parts.append(f"<p>{len(bearing)} figures have a limit: each is in the table below.</p>")
    return f'<div class="rotorkit-head {VERDICT_CLASS[word]}" role="status">{"".join(parts)}</div>'


def _in_a_line(finding: Finding) -> str:
    title, shown, against, _ = finding.row()
    settle = f" {escape(capital(finding.verdict.settle))}." if finding.verdict.settle else ""
    return f"<b>{escape(title)}: {escape(shown)}</b>, limit {escape(against)}.{settle}"


def table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]], raw: Sequence[int] = ()) -> str:
    """A table with its caption and headings. raw: columns whose text is HTML already."""
    head = "".join(f'<th scope="col">{escape(one)}</th>' for one in heads)
    body = []
    for row in rows:
        cells = [
            f'<th scope="row">{cell if i in raw else escape(cell)}</th>'
            if i == 0
            else f"<td>{cell if i in raw else escape(cell)}</td>"
            for i, cell in enumerate(row)
        ]
        body.append(f"<tr>{''.join(cells)}</tr>")
    start = f"<table><caption>{escape(caption)}</caption><thead><tr>{head}</tr></thead>"
    return f"{start}<tbody>{''.join(body)}</tbody></table>"


def findings_table(outcome: Outcome, caption: str = "", told: Collection[str] = ()) -> str:
    """Every figure with its uncertainty, its limit and source, the verdict in words, and what would settle it (but for
    the findings whose keys are in `told`: there it has been said)."""
    body = []
    for finding in outcome.findings:
        title, shown, against, word = finding.row()
        settle = "" if finding.key in told else finding.verdict.settle
        said = verdict_word(word) if not finding.aside else "for information"
        led = ' class="led"' if settle else ""
        body.append(
            f'<tr{led}><th scope="row">{escape(title)}</th><td class="number">{escape(shown)}</td>'
            f"<td>{escape(against)}</td><td>{said}</td></tr>"
        )
        if settle:
            body.append(f'<tr class="more"><td colspan="4">{escape(capital(settle))}.</td></tr>')
    head = "".join(f'<th scope="col">{one}</th>' for one in ("Figure", "Value", "Limit (source)", "Verdict"))
    return (
        f"<table><caption>{escape(caption or outcome.title)}</caption><thead><tr>{head}</tr></thead>"
        f"<tbody>{''.join(body)}</tbody></table>"
        '<p class="rotorkit-hint">The figure after ± is the expanded uncertainty (k = 2, about 95 %).</p>'
    )


CANCELLED = 1e-24
"""A share of variance that is rounding alone: floating point keeps some 16 digits, the square 32."""


def budget_table(finding: Finding, system: str) -> str:
    """What contributes to a figure's uncertainty, largest first."""
    title, figure = finding.title, finding.measured
    if finding.counted:
        return f"<p>{escape(title)} {escape(finding.counted)}: a count, which is exact.</p>"
    unit = finding.unit(system)
    rows = [
        (
            row.label,
            f"± {_difference(row.contribution, unit, digits=2)}",
            f"{100 * row.share:.0f} %" if row.share >= 0.005 else "below 1 %",
        )
        for row in _doubled(figure)
    ]
    if not rows:
        return f"<p>{escape(title)} {escape(say(figure, system=system))}: no reading in it has an uncertainty.</p>"
    caption = f"{title}: {say(figure, unit or None, system=system)}, and where the uncertainty comes from"
    heads = ("Origin", "contribution (k = 2)", "share of variance")
    return table(caption, heads, rows)


def _doubled(figure: Measured) -> list[BudgetRow]:
    """The budget's rows with expanded contributions; what cancels but for the computer's last digits is nothing."""
    return [
        replace(row, contribution=(2 if row.share > CANCELLED else 0) * row.contribution) for row in figure.budget()
    ]


def _difference(size: object, unit: str, digits: int) -> str:
    try:
        return say(size, unit, digits=digits)
    except ValueError:
        return say(size, digits=digits)


def remarks(outcome: Outcome, leave_out: Iterable[str] = ()) -> str:
    """What else should be looked at; sentences that already stand at a field are left out."""
    stands = [sentence for sentence in leave_out if sentence]
    said = [one for one in outcome.remarks if not any(sentence in one for sentence in stands)]
    if not said:
        return ""
    return "<p><b>Also look at</b></p>" + listed(said)


def listed(sentences: Iterable[str], ordered: bool = False) -> str:
    """Sentences as a list."""
    tag = "ol" if ordered else "ul"
    return f"<{tag}>" + "".join(f"<li>{escape(sentence)}</li>" for sentence in sentences) + f"</{tag}>"


def step_table(steps: Sequence[Worked], system: str) -> str:
    """Every step of a calculation with its result."""
    rows = [
        (f"{i}. {step.title}", f'<span class="rotorkit-figure">{escape(_step_result(step, system))}</span>')
        for i, step in enumerate(steps, 1)
    ]
    return table("The steps, each with its result", ("Step", "Result"), rows, raw=(1,))


def _step_result(step: Worked, system: str) -> str:
    return "" if step.value is None else say(step.value, system=system)


def step_math(step: Worked) -> str:
    """A step typeset: its lines as one block of LaTeX, and its source."""
    latex = escape(step.latex, quote=False)
    return (
        f"<p><b>{escape(step.title)}</b></p>"
        f'<div class="rotorkit-math">$${latex}$$</div>'
        f'<p class="rotorkit-hint">Source: {escape(step.citation.sentence)}</p>'
    )
