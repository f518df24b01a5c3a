"""The open format: a whole book as a ZIP, or as a folder with the same files in it.

- `book.json`: `{"format": 1, "made_at": moment, "owner_name": text}`; other keys are ignored.
- `<kind>.jsonl`, one for each kind of `static/spec/record.json` that has records: one record a
  line, `{"kind", "id", "fields": {name: value}, "clocks": {name: clock}, "deleted": false,
  "deleted_clock": null}`, sorted by id. `fields` and `clocks` have the same names. `kind` may be
  left out (the file's name says it), and so may `deleted` and `deleted_clock` (not deleted).
- `revisions.jsonl` (may be missing): the values that merges overruled, one a line,
  `{"kind", "id", "field", "value", "clock", "overruled_at"}`; `overruled_at` is a sequence number
  or null, `field` is "deleted" for the deletion mark.
- `photos/<id>.jpg` or `photos/<id>.webp` (may be missing): the pictures, named by the id of
  their photo record.
- `tastings.csv` (may be missing): the tastings for a spreadsheet, made from the records. Import
  does not read it. Its last columns are computed, each empty where the notes do not tell:
  - `lawful_abv_low`, `lawful_abv_high`: the percent of alcohol that the printed number allows by
    the law of the label's market, or of the owner's market where the label names none;
  - `alcohol_poured_g`, `alcohol_swallowed_g`: grams of pure alcohol at the printed strength, or the
    middle of a printed range, counted as in the tally of a visit: where nothing was said of
    swallowing, the whole pour; of a glass that nobody tasted from, nothing. The label may lawfully
    be off, and so are these figures; they say nothing of alcohol in the blood nor of whether
    anyone may drive;
  - `swallow_assumed`: yes where `alcohol_swallowed_g` is the whole pour for want of a note;
  - `age_at_tasting_years`: the year of the tasting less the vintage;
  - `dryness_class`: bone_dry, dry, off_dry, medium, sweet or very_sweet, as it tasted;
  - `finish_class`: fleeting, short, middle or long;
  - `quality_level`: slight, sound, fine or rare, from finish, complexity and balance, never from
    the liking.

JSON Lines are UTF-8, one JSON object a line, ended by a line feed; empty lines are passed over.
Import refuses a book with the file and line at fault before it writes anything, or merges it whole,
in bounded transactions; importing the same book twice changes nothing, and an import that the
database broke off goes on when it is sent again. A picture without a photo record is left out.
"""
