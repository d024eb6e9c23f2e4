"""Every kind of mistake a workbook can hold, and the place where one was found.

A problem is a value in a list, never an exception: one bad cell must not hide the rest of the record.
Only a file that cannot be read at all raises, and then `Unreadable`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

ERROR = "error"
DOUBT = "doubt"

SET_ASIDE = "The row is set aside until it is mended; nothing in the workbook is changed."
LEFT_OUT = "This cell is left out; the rest of the row is used."


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of mistake: its slug, its severity, and its words.

    `outcome` is "cell" (the cell is left out, and the row with it where the record cannot do without that
    cell), "row", "sheet" or "file" (all of it is set aside), or "kept" (the value is used as read).
    """

    slug: str
    outcome: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake at one place: what was found, what is allowed, what to do."""

    kind: str
    severity: str
    sheet: str | None
    cell: str | None
    column: str | None
    found: str
    allowed: str
    message: str
    hint: str

    def __str__(self) -> str:
        where = " · ".join(part for part in (self.cell or self.sheet, self.column) if part)
        lines = [f"{self.severity}: {where}" if where else f"{self.severity}:"]
        if self.found:
            lines.append(f"  found:   {self.found}")
        if self.allowed:
            lines.append(f"  allowed: {self.allowed}")
        lines.append(f"  {self.message}")
        if self.hint:
            lines.append(f"  To do: {self.hint}")
        return "\n".join(lines)


class _Refusal(Exception):
    """Something cannot be done with the whole file; `problem` says why and what to do."""

    def __init__(self, slug: str, **words: str) -> None:
        self.problem = make(slug, words=words)
        hint = self.problem.hint
        super().__init__(f"{self.problem.message.rstrip('.')}: {hint[0].lower()}{hint[1:]}")


class Unreadable(_Refusal):
    """The file cannot be read as a workbook at all, or not as a photograph."""


class NotWritten(_Refusal):
    """The workbook was not changed; what was to be written is in no part of it."""


def make(
    slug: str,
    *,
    sheet: str | None = None,
    ref: str | None = None,
    column: str | None = None,
    found: str = "",
    allowed: str = "",
    required: bool = False,
    words: Mapping[str, str] = MappingProxyType({}),
) -> Problem:
    """Fill a kind's words for one place. `ref` is a cell such as "F14"; `required` sets the row aside."""
    kind = KINDS[slug]
    error = kind.outcome in ("row", "sheet", "file") or (kind.outcome == "cell" and required)
    fill = {"column": column or "", "sheet": sheet or "", "found": found, "allowed": allowed, **words}
    message = kind.message.format_map(fill)
    if kind.outcome in ("row", "cell"):
        message = f"{message} {SET_ASIDE if error else LEFT_OUT}"
    return Problem(
        kind=slug,
        severity=ERROR if error else DOUBT,
        sheet=sheet,
        cell=f"{sheet}!{ref}" if sheet and ref else None,
        column=column,
        found=found,
        allowed=allowed,
        message=message,
        hint=kind.hint.format_map(fill),
    )


_TYPE_AGAIN = "Type the value again in plain words or figures."

_CATALOGUE = (
    # One cell
    Kind("cell-error", "cell", "The spreadsheet shows an error here instead of a value.",
         "Mend the formula, or type the value itself."),
    Kind("formula-unsaved", "cell", "The formula in this cell was never worked out and saved.",
         "Open the workbook in your spreadsheet program and save it once, or type the value itself."),
    Kind("required-empty", "row", "{column} is empty, and a row cannot do without it.",
         "Fill in {column}; a merged cell fills only its first row."),
    Kind("date-unreadable", "cell", "This cannot be read as a date.",
         "Write the day, the month by name and the year, such as 4 Mar 2026."),
    Kind("date-no-such-day", "cell", "There is no such day in the calendar.",
         "Write the day, the month by name and the year, such as 4 Mar 2026."),
    Kind("date-out-of-range", "cell", "This date is too long ago or too far ahead to be meant.",
         "Look at the year."),
    Kind("date-in-future", "kept", "This date is still to come. It is used as written.",
         "Look at the day, the month and the year."),
    Kind("date-year-missing", "kept", "The year is missing and the rows around it do not settle it; it is read as {read}.",
         "Write the year into the date."),
    Kind("date-order-unclear", "kept",
         "These dates can be read day first or month first, and the column does not show which. "
         "They are read {order}, so this one is {read}.",
         "Write the month by name, or type the dates as true dates of your spreadsheet."),
    Kind("date-year-first", "kept",
         "Dates like this one can have the year last or first, and the column does not show which. "
         "This one is read as {read}; the other way it would be {other}.",
         "Write the year in four figures, such as 2026-03-04, or the month by name."),
    Kind("date-run-together", "cell",
         "These figures may be a spreadsheet's number for {read}, or a date written without its points, such as {other}.",
         "Write the day, the month by name and the year, such as 4 Mar 2026."),
    Kind("date-weekday", "kept", "{read} is a {weekday}, which is not the weekday written. The date is used as written.",
         "Look at the day, the month and the year, and at the weekday."),
    Kind("dates-turned", "kept",
         "With day and month the other way round the true dates of this column fit the rows around them far better; "
         "a spreadsheet may have turned them as they were typed. This one is read as {read}; turned, it would be {other}.",
         "Look at the true dates; type the wrong ones again with the month by name."),
    Kind("time-unreadable", "cell", "This cannot be read as a time of day.",
         "Write the hour and the minutes, such as 14:30, or 2:30 pm."),
    Kind("number-became-date", "cell",
         "There is a date where {column} belongs; a spreadsheet turns what is typed as 2/5 or 2-3 into a date.",
         "Type the value with a word, such as grade 2, or set the cell's format to Text before you type."),
    Kind("number-unreadable", "cell", "This cannot be read as a number.", _TYPE_AGAIN),
    Kind("number-range", "kept", "This is a range; its middle, {read}, is used.",
         "Write the one number that says best what you measured."),
    Kind("number-about", "kept", "This is marked as not exact; {read} is used.",
         "Write the number alone if that is what you mean."),
    Kind("number-or-more", "kept", "This says at least {read}; that number is used.",
         "Write the one number that says best what you measured."),
    Kind("fraction-unclear", "cell",
         "A fraction such as 3/4 or 3 1/2 is read as one of an inch; this one has another unit, is not parted as inches are, "
         "or may be two numbers.",
         "Write the number with a decimal point and its unit; for two readings put a dash between them, such as 30-32."),
    Kind("grade-other-scale", "cell", "This grade is given on another scale than that of {column}.",
         "Write the grade on the scale allowed; put the other one under Remarks."),
    Kind("unit-unknown", "cell", "The unit is not one that {column} can have.",
         "Write the number with one of the units allowed, or with none."),
    Kind("unit-unclear", "cell", "The number alone does not show its unit: more than one would fit.",
         "Write the unit beside the number, or once in the heading, such as {column} ({short})."),
    Kind("unit-by-size", "kept", "No unit is given. By their size these numbers are read as {unit}.",
         "If that is right, write the heading as {column} ({short}) and this message goes."),
    Kind("out-of-range", "cell", "This value is not possible for {column}.",
         "Look for a slipped digit, a wrong unit, or a value of the next column."),
    Kind("score-unreadable", "cell", "This cannot be read as a lameness score.{why}",
         "Write a plain grade, such as 2, or a grade with its scale, such as 2/5."),
    Kind("score-beyond-scale", "cell", "This score lies outside its scale of {scale}.",
         "Look at the score and at the Scale cell of the row."),
    Kind("score-range", "kept", "This is a range; its middle, {read}, is used.",
         "Write the one grade that says best what you saw."),
    Kind("score-plus", "kept", "The sign after the grade is kept in the workbook; {read} is used.",
         "Write a half grade if that is what you mean."),
    Kind("score-between", "kept", "A score is a whole or a half grade; this one is used as written.",
         "Write a whole or a half grade."),
    Kind("scale-contradicts", "kept", "The score names the scale {read}, but the Scale cell of the row says {scale}. The score's own is used.",
         "Look at the score and at the Scale cell of the row."),
    Kind("sign-in-score", "kept", "A sign stands where the score belongs. It counts as: {read}.",
         "Write the sign under Signs, and under Score a grade or nothing."),
    Kind("sign-in-remarks", "kept", "A remark reads as a sign from the list, and counts as one: {read}.",
         "Write it under Signs; if it is not meant so, say it in other words."),
    Kind("score-with-words", "kept", "Other words stand beside this score; {read} is used. No sign was understood in them, so no warning can come from them.",
         "Write the grade alone under Score, and a sign under Signs, in the list's words."),
    Kind("scale-assumed", "kept",
         "The scale of these scores is nowhere given. They are read on the scale {scale}, as far as they fit it.",
         "Fill in Scale beside the score, or Usual scale on the Horses sheet."),
    Kind("scale-unread", "kept",
         "The Scale cell beside this score cannot be read. It is read on the scale {scale}; warnings go by the worse that it may mean.",
         "Write the scale of this score into the Scale cell, or beside the score, such as 2/5."),
    Kind("limb-unknown", "cell", "This cannot be read as a limb.",
         "Write LF, RF, LH or RH, or the words, such as left front."),
    Kind("foot-not-one", "cell", "More than one foot is named; this record is about one foot.",
         "Write one row for each foot."),
    Kind("choice-unknown", "cell", "This is not one of the words that {column} can hold.{suggestion}",
         "Use one of the words allowed; put the rest under Remarks."),
    Kind("pulse-unsure", "kept",
         "This does not plainly name one step of the pulse. It counts as the strongest that it can mean: {read}.",
         "Write the one step that says best what you felt: 0, 1, 2 or 3."),
    Kind("pulse-unknown", "cell", "This is not a step of the pulse, so no warning can come from it.",
         "Write 0, 1, 2 or 3. Where pulses were raised and the horse goes stiffly, do not wait for this cell: ring the vet."),
    Kind("sign-near", "kept", "This is not quite a sign from the list. It is read as: {read}.",
         "If that is right, spell it as in the list."),
    Kind("sign-unknown", "kept", "Something here was not understood as a sign from the list, so no warning can come from it.",
         "Use the list's words for {column}, with commas between them; put the rest under Remarks."),
    # One row
    Kind("nothing-observed", "row", "The note says nothing about the horse: no score, pulse, sign, or comparison.",
         "Fill in a Score, a Pulse, a Sign or Than last time."),
    Kind("which-horse", "row", "The workbook holds several horses, and this row does not say which one it is about.",
         "Fill in Horse."),
    Kind("horse-not-listed", "kept", "There is no such horse on the Horses sheet; the rows are used all the same.{suggestion}",
         "Add the horse to the Horses sheet, or mend the name."),
    Kind("horse-twice", "kept", "This horse is entered twice; the first row, row {row}, is used.",
         "Keep one row for each horse."),
    Kind("same-row-twice", "kept", "This row says the same as row {row}. Both are kept.",
         "Delete one of them if it was typed twice."),
    Kind("dates-out-of-order", "kept", "{column} is earlier than {earlier} in the same row. Nothing is concluded from their order.",
         "Look at the two dates."),
    Kind("abscess-open-twice", "kept", "Row {row} is another abscess of this foot that has no Comfortable again either. Both count as still open.",
         "If it is the same one, keep one row of it; if the first is over, fill in its Comfortable again."),
    Kind("abscesses-overlap", "kept", "The abscess of row {row} in the same foot {until}. Both are counted.",
         "Look at the dates of both rows, and at the foot; if it is the same abscess, keep one row of it."),
    Kind("abscess-typed-twice", "kept", "Row {row} gives the same foot and the same First seen. For the warnings the two rows are one abscess{how}.",
         "Keep one row of it, with all that is known; if there were two, write where each was."),
    Kind("notes-contradict", "kept", "Row {row} says {other} of the same day, seen the same way. Both are kept; for the warnings the more careful counts.",
         "Look at both rows. If both are right, as in the morning and in the evening, leave them."),
    Kind("plan-steps-overlap", "kept", "Step {step} of row {row} {until}, so some days have two steps. Work is set beside both.",
         "Ask the vet who set the plan which step holds, then mend From or Until."),
    Kind("work-day-too-long", "kept", "With this the {what} of the day adds up to {minutes} minutes, and a day has 1,440. Nothing is worked out from that day.",
         "Look at the minutes and the dates of that day's rows."),
    Kind("answer-unknown-warning", "cell", "There is no warning of this name.",
         "Write the name as the horse's page has it, such as lame-at-walk; `soundness warnings` lists them all."),
    Kind("answer-no-such-warning", "kept", "By what is recorded now, no warning {warning} stood for {horse} on {day} or in the four weeks before. It stays in the history and quiets nothing.",
         "Look at the date, the horse and the warning's name; where the record was mended since, leave it."),
    Kind("answer-several", "kept", "On that day {number} warnings of this name stood, and the row does not say which it means. It is shown with each and quiets none.",
         "Write the foot or the first day behind the name."),
    Kind("answer-part-unread", "kept", "Behind the warning's name stands {part}, which is no foot and no first day. The answer is shown with each warning of that name and quiets none.",
         "Write the foot or the first day behind the name, such as LF, or since 2026-03-04; put the rest under What was done."),
    Kind("answer-quiet-before", "cell", "This day lies before the answer itself, of {day}.",
         "Look at both dates."),
    Kind("answer-quiet-now", "cell", "{warning} calls for a vet now and is never kept quiet: it stands until its own rule ends.",
         "Empty the cell; the answer itself is shown with the warning."),
    Kind("answer-quiet-long", "kept", "This keeps the warning folded away for more than half a year. It is used as written.",
         "Look at the year."),
    Kind("limit-unknown-warning", "cell", "There is no warning of this name.",
         "Write the name as the horse's page has it, such as temperature-above-38-9; `soundness warnings` lists them all."),
    Kind("limit-no-number", "cell", "{warning} has no single number that could be made more careful.",
         "Take the row out; `soundness warnings` says which warnings take a horse's own limit."),
    Kind("limit-unreadable", "cell", "This cannot be read as a limit of {warning}.",
         "Write one number, with the unit allowed or with none."),
    Kind("limit-less-careful", "cell", "{read} is less careful than the rule's own {own}, which holds.",
         "Write a more careful number, or take the row out."),
    Kind("limit-too-far", "cell", "With {read} the warning would nearly always stand, so it may be a slip of the pen or another unit. The rule's own {own} holds.",
         "Write the number again, with its unit."),
    Kind("limit-by-size", "kept", "No unit is given. By its size it is read in degrees Fahrenheit: {read}.",
         "Write the unit beside the number."),
    Kind("limit-twice", "kept", "Row {row} gives {other} for the same warning of this horse. The more careful of the two holds.",
         "Keep one row for each warning."),
    Kind("size-unlike-others", "cell", "This is {part} of what the horse otherwise measures here ({other}), as if it were typed in another unit than the heading's.",
         "Write the unit into the cell: {found} in, or {found} cm."),
    Kind("size-unusual", "cell", "In {unit}, as the heading says, this is an unusual size; in {other} it would be a usual one, so it is not clear which was meant.",
         "Write the unit into the cell: {found} in, or {found} cm."),
    Kind("merged-down", "kept", "This cell is merged with those below it, so {rows} have no {column} of their own.",
         "Part the cells again, and write the value into each row."),
    Kind("measured-twice", "kept", "Row {row} gives {other} for the same foot, day, stage and way, which is further off than measuring error. The mean is used.",
         "Look at the two numbers, and at the foot, the date and the stage."),
    Kind("heel-height-greater", "kept", "{column} is straight up and cannot be greater than Heel length in the same row, which is {length}. Both are used as written.",
         "Look at the two numbers."),
    Kind("mark-went-up", "kept", "Row {row} has the mark {mark}lower on an earlier day, at {other}, and a mark only grows down. Both are kept, but no growth is worked out from this mark.",
         "Look at the two numbers and their days; give another mark a name of its own."),
    Kind("trim-no-feet", "kept", "This trim does not say which feet were trimmed; it counts for all four.",
         "Fill in {column}: the feet, both fronts, both hinds, or all."),
    # Headings and sheets
    Kind("heading-missing", "sheet", "The sheet has no heading row with {missing}, so none of its rows is read.",
         "Put the headings in one row above the records."),
    Kind("heading-near", "kept", "No column is headed {column}; this heading looks like it, and is not read.",
         "Write the heading as {column} if that is what it holds."),
    Kind("heading-twice", "kept", "Two columns are headed {column}; only the first is read.",
         "Give the second column another heading, or move its values."),
    Kind("heading-unit-unknown", "kept", "The brackets of this heading name no unit that {column} can have; the numbers are read as if they were not there.",
         "Write one of the units allowed into the heading's brackets, or none."),
    Kind("second-table", "kept", "A second table begins here. Only the first table of a sheet is read, so nothing from {rest} on is.",
         "Move it to a sheet of its own, or its rows to the end of the first table."),
    Kind("totals-row", "kept", "This is a row of totals and no record, so it is not read.",
         "It may stay; to let entries be added below the records, move it above the headings or to a sheet of its own."),
    Kind("sheet-near", "kept", "There is no sheet named {sheet}; this one looks like it, and is not read.",
         "Rename the sheet to {sheet} if that is what it holds."),
    Kind("sheet-twice", "kept", "Two sheets are named {sheet}; only the first is read.",
         "Give the second sheet another name, or move its rows."),
    Kind("no-horses", "kept", "No horse is entered on the Horses sheet, so the days since its shoes came off are not known.",
         "Enter the horse's name on the Horses sheet, and when its shoes came off."),
    # The whole file
    Kind("file-missing", "file", "There is no file {path}.", "Look at the name and the folder; `soundness new {path}` makes a blank workbook."),
    Kind("file-is-folder", "file", "{path} is a folder, and no CSV file in it is named after a sheet, as Soundness.csv is.", "Name the workbook inside it, or name its CSV files after the sheets."),
    Kind("file-other-type", "file", "{path} is not a workbook (.xlsx or .xlsm; or, to be read only, .xls, .xlsb, .ods or a folder of CSV files).", "Save it from your spreadsheet program as an Excel workbook (.xlsx)."),
    Kind("file-locked", "file", "{path} is held by another program.", "Close it there, then try again."),
    Kind("file-no-permission", "file", "You are not allowed to read {path}.", "Ask whoever owns the file, or copy it to your own folder."),
    Kind("file-empty", "file", "{path} is empty, with no bytes in it at all.", "Take the last good copy of the workbook."),
    Kind("file-password", "file", "{path} is protected by a password.", "Take the password off in your spreadsheet program and save it again."),
    Kind("file-not-workbook", "file", "{path} is not a workbook, though its name ends like one.", "Open it in your spreadsheet program and save it as an Excel workbook (.xlsx)."),
    Kind("file-damaged", "file", "{path} is damaged and cannot be read to its end.", "Open it in your spreadsheet program, let it repair the file, and save it again; or take the last good copy."),
    Kind("file-too-large", "file", "{path} holds far more than a record can, so it was not opened.", "Copy the rows you need into a new workbook."),
    Kind("file-encoding", "file", "{path} is in no encoding that can be told, so its letters are not known.", "Save it again as CSV UTF-8."),
    Kind("file-open-quote", "file", "{path} has a quotation mark in row {row} that is never closed, so its cells cannot be told apart.", "Close it or take it away, or save the file again from your spreadsheet program."),
    Kind("file-far-cell", "file", "{path} has a filled cell at {sheet}!{ref}, far away from everything else.", "Delete that cell's column or row in your spreadsheet program and save again."),
    Kind("file-other-content", "file", "{path} is a workbook of something else, with none of the sheets Horses, Soundness, Visits, Abscesses, Hooves and the like.", "`soundness new` makes a blank workbook with the right sheets."),
    Kind("file-no-records", "file", "{path} holds no records yet.", "Enter the horse on the Horses sheet and today's note on the Soundness sheet, then try again."),
    Kind("file-export-changed", "file", "{path} was changed, added or taken away since `soundness export` wrote the folder, so what was typed cannot be put back truly.", "Export the workbook again into a new folder; or take datapackage.json out of this one, and its CSV files are read as they stand."),
    Kind("file-export-newer", "file", "{path} was written by a newer version of this program.", "Install the newer version, then try again."),
    # A photograph
    Kind("photo-empty", "file", "{path} is empty, with no bytes in it at all.", "Take it from the telephone or camera again."),
    Kind("photo-other-type", "file", "{path} holds {found}, and not a photograph as JPEG, PNG, WebP or HEIC.", "Save it as JPEG in your photo program, then choose that file."),
    Kind("photo-heic", "file", "{path} is a HEIC photograph, and nothing is installed here that can open one.", "Save it as JPEG on the telephone or in your photo program, or install `soundness-ledger[heic]`."),
    Kind("photo-damaged", "file", "{path} is damaged or was cut short, so it cannot be read to its end.", "Take it from the telephone or camera again."),
    Kind("photo-moving", "file", "{path} is a moving picture, and only a still one can be used.", "Save one frame of it as JPEG in your photo program, then choose that file."),
    Kind("photo-too-large", "file", "{path} is larger than a photograph can be here: {found}, where {allowed} are the most.", "Save it smaller in your photo program, then choose that file."),
    Kind("photo-missing", "file", "There is no photograph {path} in the folder {folder}, and it is looked for nowhere else.", "Put it back there under that name, or mend the name in the workbook; if the workbook was renamed, rename this folder with it."),
    # What keeps an entry out of the file
    Kind("write-other-format", "file", "{path} can be read, but not written: {reason}.", "Make a copy to go on with: `soundness copy {path} {copy}`."),
    Kind("write-protected", "file", "The sheet {sheet} is protected against changes.", "Take the protection off in your spreadsheet program, then try again."),
    Kind("write-totals", "file", "A row of totals stands below the records of the sheet {sheet}, at {ref}.", "Move it above the headings or to a sheet of its own, then try again."),
    Kind("write-signed", "file", "{path} carries a digital signature, which any change would break.", "Take the signature off, or go on with a copy: `soundness copy {path} {copy}`."),
    Kind("write-strict", "file", "{path} is in the format Strict Open XML, which is read but not written.", "Save it from your spreadsheet program as an ordinary Excel workbook (.xlsx)."),
    Kind("write-open", "file", "{path} is open in another program.", "Close it there, then try again; if it is open nowhere, delete the file {lock} that lies beside it."),
    Kind("write-busy", "file", "{path} is just being written by another window of this program.", "Wait a moment, then try again."),
    Kind("write-changed", "file", "{path} was changed since it was read.", "Look at it again, then try again."),
    Kind("write-in-the-way", "file", "On the sheet {sheet} something stands in the way at {ref}: {reason}.", "Make room there in your spreadsheet program, then try again."),
    Kind("write-unusual", "file", "{path} is written in a manner that cannot be changed without risk: {reason}.", "Save it once from your spreadsheet program, then try again."),
    Kind("write-no-sheet", "file", "{path} has no sheet {sheet}.", "Add the sheet, or write the entry on another one."),
    Kind("write-too-long", "file", "A cell holds 32,767 signs at most, and this text is longer.", "Shorten the text."),
    Kind("write-not-a-value", "file", "A cell cannot hold {found}.", "Write it in another way."),
    Kind("write-no-permission", "file", "You are not allowed to write {path}, or in its folder.", "Ask whoever owns the file, or copy it to your own folder."),
    Kind("write-disk-full", "file", "There is no room left on the disk for {path}.", "Make room, then try again."),
    Kind("write-failed", "file", "{path} could not be written ({reason}).", "Look at the disk and the folder, then try again."),
    Kind("write-not-the-same", "file", "The new file did not read back the same as {path}, so it was thrown away.", "Save the workbook once from your spreadsheet program, then try again."),
    Kind("write-no-column", "file", "The sheet {sheet} has no column {column} any more.", "Give it a column of that heading, then try again."),
    Kind("write-row-changed", "file", "The record that stood in row {row} of the sheet {sheet} has been changed since.", "Look at it in the workbook, then enter the change again; one that still waits is dropped by `soundness undo {path} --waiting`."),
    Kind("write-perhaps-in", "file", "The entry may be in {path} already, in row {row} of the sheet {sheet}: the program was stopped while it wrote it, and the workbook was saved elsewhere since.", "Look at that row. If the entry is there, `soundness undo {path} --waiting` strikes the waiting one off. If it is not, strike it off too and enter it again; a new record that is there only in part you may also delete, and it is written anew."),
    Kind("write-points-changed", "file", "The sheet Photo points does not hold of {path} what it held when this page was opened, so nothing was written.", "Load the page again: it shows the points as they are now. Then mark what is missing."),
    Kind("write-points-there", "file", "On {path} this foot is marked in this view already, so nothing was written over it or beside it.", "Open that marking on the photo's page, where it can be mended or marked once more."),
    Kind("write-points-wait", "file", "Points of {path} still wait for the workbook, so no others of it are entered.", "The top of the page says why they wait. Once they are in, load the page again."),
    Kind("write-folder-there", "file", "{path} is there already and is not an empty folder, so nothing was written.", "Choose another name: `soundness export FILE --to FOLDER` makes the folder itself."),
    Kind("write-no-folder", "file", "There is no folder in which {path} could be made.", "Make that folder first, or choose another place."),
    Kind("write-no-parquet", "file", "Nothing is installed here that can write Parquet files.", "Install `soundness-ledger[parquet]`, or leave --format out to write CSV files."),
    Kind("write-not-our-calendar", "file", "{path} is there already and is no calendar of this program, so it was not touched.", "Choose another name: `soundness calendar FILE --out horse.ics` writes over calendars of its own only."),
    Kind("write-not-kept", "file", "{path} was not changed, and the entry could not be kept beside it either ({reason}), so nothing was kept.", "Look at the folder and the disk, then enter it again."),
    # A photograph that the workbook names
    Kind("photo-not-there", "kept", "The photograph {found} {why}: its own error cannot be worked out, so the record shows that of photographs in general.",
         "Put it back there as it was, under that name, or mend the name here; if the workbook was renamed, rename the folder with it."),

    # What is wrong with the points marked on a photograph
    Kind("photo-no-points", "file", "No point of the foot is marked.", "Mark the foot's points on the photograph."),
    Kind("photo-not-a-point", "kept", "{points}: no point of this view, so left out.", "Use a name from the list of points."),
    Kind("photo-no-place", "kept", "{points}: no place in the picture is given, so left out.", "Give its x and y in pixels, from the top left."),
    Kind("photo-size", "kept", "{name} should be {wanted}, so what was given is left out.", "Give {wanted}."),
    Kind("photo-not-marked", "kept", "{measures}: left out, because this is not marked: {points}.", "Mark what is missing, if it can be seen."),
    Kind("photo-outside", "kept", "{points}: outside the picture, which is {width} × {height} pixels; used all the same.", "Look whether it is in its place, and whether this is the photograph that was marked."),
    Kind("photo-same-place", "kept", "{points} lie in the same place, so they are left out.", "Mark them again."),
    Kind("photo-swapped", "kept", "The first of {points} should lie above the second, but lies below it, so both are left out.", "Look whether the two were swapped."),
    Kind("photo-flat", "kept", "The line through {points} lies along the ground, so both are left out.", "Mark them again, or look whether the ground line is right."),
    Kind("photo-crossed", "kept", "{points} run the other way than the rest of the foot, so both are left out.", "Look whether the two were swapped."),
    Kind("photo-ground-turned", "kept", "{points} stand the other way round than the foot; the line through them is used all the same.", "Look whether the two were swapped, or the two ends of the foot."),
    Kind("photo-ground-off", "kept", "The line through {points}, where the foot meets the ground, runs {angle}° off the ground line; all is measured to the ground line all the same.", "Look at these and at the ends of the ground line; a foot that does not stand flat can be the reason too."),
    Kind("photo-no-ground", "kept", "There is no ground line, so all that is measured to the ground is left out.", "Mark {points}."),
    Kind("photo-no-scale", "kept", "The picture has no scale, so lengths are left out.", "Mark the four corners of a card, or two points whose distance is known."),
    Kind("photo-scale-half", "kept", "The scale's length is given, but {points} are not both marked, so it is left out.", "Mark both ends."),
    Kind("photo-scale-size", "kept", "{points} are marked, but not how far apart they are, so they are left out.", "Give their distance."),
    Kind("photo-card-half", "kept", "The card is left out, because this is not marked: {points}.", "Mark all four corners."),
    Kind("photo-card-size", "kept", "The card's corners are marked, but not how large it is, so it is left out.", "Give its long side and its short side; a bank card has 85.60 and 53.98 mm."),
    Kind("photo-card-shape", "kept", "The card's four corners are no rectangle: two lie in one place, or three in one line. The card is left out.", "Mark its corners again."),
    Kind("photo-card-fit", "kept", "The card's corners fit no flat card of that size, from wherever it is seen, so the card is left out.", "Look at its corners and its size; it must stand flat beside the foot's middle."),
    Kind("photo-far-from-square", "kept", "By the card the camera stood about {tilt}° from square to the foot, further than was thought of ({limit}° to the side and in height); the card was believed.", "Look at the card's corners; if they are right, take the photograph again from straight beside the foot."),
    Kind("photo-scales-differ", "kept", "The two scales of the picture differ by {percent} %; the card is used.", "Look at the sizes given. A scale counts only in the plane of the foot's middle: nearer the camera it makes the foot read too small."),
    Kind("photo-near", "kept", "The camera stood about {distance} mm from the foot, so a scale 10 mm nearer to it than the foot's middle makes lengths read {percent} % short.", "Stand the scale beside the foot's middle, and the camera 1.5 to 2 m away; angles and ratios suffer less."),
    Kind("photo-inner-side", "kept", "{view}, the inner side of a {foot} foot lies to the {side}, but it is marked to the {other}; all is measured as marked.", "Look which foot it is, whether inner and outer were taken for each other, and whether the picture is mirrored."),
    Kind("photo-unsure", "kept", "{measures}: left out, because the error is so large that nothing is known.", "Look at the points it is measured from; some lie too near one another."),
    # A line to compare with that was asked for on a photograph
    Kind("guide-angle", "kept", "“{found}” gives no angle for a line beside the hairline, so that line is left out.", "Give degrees to the ground, {allowed}."),
    Kind("guide-depth", "kept", "“{found}” gives no depth for a line below the heel's hairline, so that line is left out.", "Give a length with its unit, {allowed}."),
    # What keeps an entry from being taken at all
    Kind("entry-nothing", "file", "Nothing was filled in, so there is nothing to write.", "Fill in what you saw or measured."),
    Kind("entry-no-field", "file", "This is no heading of the sheet {sheet}.{suggestion}", "Use one of the headings allowed."),
    Kind("entry-no-column", "file", "Your sheet {sheet} has no column {column}, so this would have no place.", "Let the column be added (--add-column){other}."),
    Kind("entry-no-sheet", "file", "The workbook has no sheet {sheet}.", "Let the sheet be added (--add-sheet), or write the entry on another one."),
    Kind("entry-no-row", "file", "The sheet {sheet} has no record in row {row}.", "Look at the workbook again, then choose the record."),
)  # fmt: skip

KINDS = {kind.slug: kind for kind in _CATALOGUE}
