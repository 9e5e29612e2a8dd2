"""Words of the labels for wires, devices and batteries. Short: a label is small and is read with one hand free."""

from proposal.book.language import msg

TITLE = msg("Labels")
RUNNING = msg("{vessel}, {number}, as fitted on {date}")
WIRES = msg("Wires: one label at each end")
DEVICES = msg("Fuses, switches, relays and buses")
BATTERIES = msg("Batteries, and codes for their box")

WIRE_WAY = msg("here {here}, goes to {there}")
WIRE_FUSE = msg("fuse: {fuses}")
WIRE_NO_FUSE = msg("no fuse between it and a battery")
FUSE = msg("{designation} {rating_a}")

DEVICE_WHAT = msg("{kind}: {title}")
DEVICE_RATING = msg("{rating_a}, up to {voltage_max_v}")
DEVICE_BREAKS = msg("breaks {interrupt_a}, fault here {fault_a}")
DEVICE_FAULT = msg("fault current here {fault_a}")
DEVICE_GUARDS = msg("guards {items}")
DEVICE_SAME = msg("Replace only by the same: {part}")
SERIAL = msg("Serial {serial}")

BATTERY_WHAT = msg("{bank}, battery {place} of {count}")
BATTERY_FITTED = msg("Fitted on {date}")
BATTERY_PARALLEL = msg("Joined in parallel with {others}")
BATTERY_SERIES = msg("{count} in series in each string")
BATTERY_CONTACTOR = msg("Joins the others through {items}")
BATTERY_FIRST = msg("Negative off first, on last. Stop every charge source before. It cannot be switched off.")

CODE = msg("Emergency: point a telephone here. It works without a network.")
RECORD_CODE = msg("The record of this vessel on the web")
"""Above a code."""
