"""The few words that the renderers of site and PDF need besides the pages."""

from proposal.book.language import msg

LABELS = {
    "contents": msg("Contents"),
    "page": msg("Page"),
    "of": msg("of"),
    "previous": msg("Previous"),
    "next": msg("Next"),
    "search": msg("Search"),
    "menu": msg("Pages"),
    "skip": msg("Skip to the content"),
    "drawing": msg("Drawing"),
    "open_drawing": msg("Open the drawing on its own"),
    "zoom_in": msg("Zoom in"),
    "zoom_out": msg("Zoom out"),
    "zoom_fit": msg("Whole drawing"),
    "zoom_help": msg("Drag to move, arrow keys to scroll, Ctrl and wheel to zoom."),
    "prepared_for": msg("Prepared for"),
    "prepared_by": msg("Prepared by"),
    "option": msg("Option"),
    "read_more": msg("Read more about it"),
    "reasons": msg("Choose this if"),
    "cautions": msg("Cautions"),
    "name": msg("Name"),
    "place_date": msg("Place and date"),
    "signature": msg("Signature"),
    "step": msg("Step"),
    "as_proposed": msg("As proposed"),
    "each_position": msg("The same as a table"),
    "attached_spec": msg("What was entered for the vessel"),
    "attached_entry": msg("An entry of the vessel's record"),
    "attached_results": msg("Everything that was computed, as data"),
    "attached_designations": msg("Which item has which designation"),
    "attached_photo": msg("A photo of the record"),
    "tone_good": msg("Good"),
    "tone_caution": msg("Caution"),
    "tone_danger": msg("Danger"),
    "tone_unknown": msg("Not known"),
}
RECORD_LABELS = {"as_proposed": msg("As fitted"), "prepared_for": msg("Owner"), "prepared_by": msg("Installer")}
"""What is called otherwise in a record."""
