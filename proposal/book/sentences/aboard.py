"""Words of the page that names what is printed and kept aboard."""

from proposal.book.language import msg

TITLE = msg("What stays aboard")
LEAD = msg("Sheets to print, codes for the battery box, dates for a calendar, and packs to hand on.")
READ = msg(
    "These files are made together with this record, in the folder {folder} beside these pages. A sealed archive comes "
    "without the packs for sale, insurer and warranty: ask {installer} for them. Print card and labels at their full "
    "size, on something that bears damp."
)
FILES = {
    "emergency-card.pdf": msg("The emergency card on one sheet, for the battery box and where people are"),
    "emergency-code.svg": msg("The code with the text of the card: it is read by a telephone without any network"),
    "record-code.svg": msg("The code with the web address of this record"),
    "labels.pdf": msg("Labels for both ends of every wire, for every fuse, device and battery"),
    "maintenance.ics": msg("The dates of the upkeep list, for any calendar"),
    "sale.pdf": msg("What a buyer wants to know"),
    "insurer.pdf": msg("What an insurer and a surveyor ask"),
    "warranty.pdf": msg("What makers ask when something fails"),
}
"""What each file is for, by its name."""
