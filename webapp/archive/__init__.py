"""The open archive format: a whole notebook as a ZIP, or as a folder with the same files.

- `book.json`: `{"format": 1, "made_at": timestamp, "owner_name": text}`; other keys are ignored.
- `<kind>.jsonl`, one for each kind of `static/spec/record.json` that has records: one record per
  line, `{"kind", "id", "fields": {name: value}, "clocks": {name: clock}, "deleted": false,
  "deleted_clock": null}`, sorted by id. `fields` and `clocks` have the same names. Optional:
  `kind` (default: the name of the file), `deleted` and `deleted_clock` (default: not deleted).
- `revisions.jsonl` (optional): superseded values, one per line,
  `{"kind", "id", "field", "value", "clock", "overruled_at"}`; `overruled_at` is the sequence
  number of the record with the later value, or null; `field` is "deleted" for the deletion mark.
  The record is in the archive or the notebook; names and values have the bounds of a record's
  fields.
- `photos/<id>.jpg` or `photos/<id>.webp` (optional): the pictures, named by the id of their photo
  record.
- `tastings.csv` (optional): the tastings for a spreadsheet, made from the records. Import ignores
  it. Its last columns are computed; a cell is empty where its input is missing:
  - `lawful_abv_low`, `lawful_abv_high`: the range of alcohol (% vol) that the printed number allows
    by the law of the label's market, or of the owner's market if the label names none;
  - `alcohol_poured_g`, `alcohol_swallowed_g`: grams of pure alcohol at the printed strength, or at
    the middle of a printed range, counted as in the tally of a visit: the whole pour where no
    swallow was noted, nothing for a glass that nobody tasted. They are as inexact as the label may
    lawfully be, and say nothing about blood alcohol or fitness to drive;
  - `swallow_assumed`: yes where `alcohol_swallowed_g` is the whole pour, for want of a note;
  - `age_at_tasting_years`: the year of the tasting minus the vintage;
  - `dryness_class`: bone_dry, dry, off_dry, medium, sweet or very_sweet, as it tasted;
  - `finish_class`: fleeting, short, middle or long;
  - `quality_level`: slight, sound, fine or rare, from finish, complexity and balance, never from
    the liking.
- `group_tastings.csv` (optional): the sheets of led tastings, one row for each guest and glass,
  with the mark of the glass, the guest and the bottle. Import ignores it.

Import skips what file managers add when an archive is packed again (`__MACOSX/`, `.DS_Store` and
the like, one folder around all files), and rejects a ZIP with any other file.

A phone makes the same archive of what it has, without the server
(`static/archive/write_archive.js`); its `revisions.jsonl` is empty.

JSON Lines files are UTF-8, with one JSON object per line, ended by a line feed; empty lines are
skipped. An invalid archive is rejected, with the file and line of the error, before anything is
written. A valid one is merged in several short transactions. Importing the same archive twice
changes nothing, so an interrupted import continues when it is sent again. A picture without a photo
record is ignored. Clocks so far ahead that sync would not accept them become clocks of now, in the
old order; values that the notebook has already keep theirs.
"""
