"""Words of the switching plan."""

from proposal.book.language import msg

TITLE = msg("Switching plan")
LEAD = msg(
    "In which order the system is made dead and brought back to life, and what a meter must show at each step. For the "
    "one who does the work."
)
READ = msg(
    "Each step is done, measured and ticked before the next one. The voltages are calculated for rested batteries; a "
    "reading far from them means that something is not as the drawing says: stop and find out. What the makers, the "
    "local code and the law ask of whoever does this work comes first."
)
HEADING = msg("Option {letter}: switching plan")
PHASES = {
    "before": msg("Before anything is touched"),
    "stop": msg("Stop what charges, switch off what draws"),
    "part": msg("Part the banks"),
    "prove": msg("Prove it dead"),
    "disconnect": msg("Take the batteries off, negative first"),
    "hold": msg("Hold points: nobody goes on before these are seen"),
    "reconnect": msg("Put the batteries on, negative last"),
    "join": msg("Close the switches, join the banks for the first time"),
    "start": msg("Bring it to life"),
}
AND_MORE = msg("and others")

STEPS = {
    "tell": msg(
        "Tell everybody who is there. Take the engine key and tag the shore plug and every switch, so that nobody "
        "closes one."
    ),
    "tell_no_engine": msg("Tell everybody who is there, and tag every plug and switch, so that nobody closes one."),
    "keep_alive": msg(
        "These stay connected when all switches are open: {bank} feeds them, with up to {current_a}. See that they "
        "work now, before anything is touched."
    ),
    "stays": msg("These are fitted today and stay: label both ends before anything around them comes off."),
    "replaced": msg(
        "All other cables of the old system go: the {conductors_count} new ones are on the page of cables and "
        "protection. An old end that stays is cut back, insulated and labelled."
    ),
    "stop_alternator": msg(
        "Stop the engine and keep its key: an alternator must never lose its battery while it turns."
    ),
    "stop_shore": msg("Switch it off and unplug the shore lead; the plug stays in sight."),
    "stop_generator": msg("Stop the generator and lock its start."),
    "stop_wind": msg("Brake it or tie it: it must not turn without its battery."),
    "stop_solar": msg(
        "Cover the array before its controller loses the battery: up to {open_circuit_v} stand on the array side in "
        "any light. There is no switch between them."
    ),
    "stop_solar_switch": msg(
        "Open the switch of the array before its controller loses the battery: up to {open_circuit_v} stay on the "
        "array side in any light."
    ),
    "stop_converters": msg("Switch it off, so that one side does not feed the other."),
    "inverters_off": msg(
        "Switch it off at its own switch and wait until it is still; its mains side is dead only then."
    ),
    "loads_off": msg("Switch off every load, at the panel and at the load: {loads_count} of them."),
    "open_contactor": msg(
        "Command it open at its controller, then take the controller's supply fuse out, so that it stays so."
    ),
    "prove_open": msg(
        "Measure across it: {difference_v} where both sides stand on their rested banks. Less than {tells_v} across it "
        "proves nothing: put a small load on one side and measure again, or read its auxiliary contact."
    ),
    "prove_open_offset": msg(
        "Both sides rest within {difference_v} of each other, so nothing across it proves nothing. Put a small load on "
        "one side until the sides differ by more than {tells_v}, or read its auxiliary contact."
    ),
    "prove_side_dead": msg("One side is dead, so a voltage across it proves nothing: read its auxiliary contact."),
    "emergency_open": msg("See that it is open: it bridges the relay, and with it nothing below would be parted."),
    "open_switch": msg("Open it and lock or tag it."),
    "meter": msg("Prove the meter first on a battery that is live: {rest_v} at its posts."),
    "wait_capacitors": msg(
        "Wait until its direct-current side shows less than {residual_v}: its capacitors hold a charge."
    ),
    "dead": msg("Measure from its positive to its negative: nothing may be left."),
    "still_live": msg("Still live with every switch open: {voltage_v}. Treat it as live until its battery is off."),
    "meter_again": msg("Prove the meter once more: {rest_v}. A meter that died meanwhile shows nothing anywhere."),
    "feed_alive": msg(
        "Before their battery comes off, feed them from another battery through a fuse of {fuse_a} or less; they draw "
        "up to {current_a}. See that they work."
    ),
    "feed_pump": msg(
        "Before their battery comes off, feed them from another battery through a fuse of {fuse_a} or less; they draw "
        "up to {current_a}. Else post a watch with a hand pump. See that they work."
    ),
    "negative_off": msg(
        "Take the negative off its posts first and cover its lugs. {rest_v} from post to post: then the battery is as "
        "the plan reckons."
    ),
    "series_off": msg("Take the links between its batteries off: from then on each has only {one_v}."),
    "positive_off": msg("Take the positive off and cover posts and lugs at once."),
    "hold_hidden": msg(
        "Before a cover, lining or conduit is closed: {conductors_count} cables run sheathed or in bundles. Lie, "
        "clips, edges and joints are looked at by a second pair of eyes and photographed."
    ),
    "hold_lugs": msg(
        "Every lug is pulled by hand, torqued to its maker's figure and marked across nut and stud: {lugs_count} of "
        "them."
    ),
    "hold_fuses": msg(
        "Every fuse is out or its switch open, and its rating is that of the schedule: {fuses_count} of them."
    ),
    "hold_insulation": msg(
        "With all batteries off: more than ten kilohms from positive to negative with the loads off, and from positive "
        "to any metal around."
    ),
    "switches_open": msg("All open, seen by eye or at the auxiliary contact, before the first battery goes on."),
    "polarity": msg("Measure at its posts, and mark which one is positive: {rest_v}."),
    "strings_even": msg(
        "Its batteries meet only while they are less than {difference_v} apart: charge the lower one alone until they "
        "are."
    ),
    "positive_on": msg("Put the positive on and cover it."),
    "series_on": msg("Put the links between its batteries on; then {rest_v} stand from end to end."),
    "negative_on": msg("Put the negative on last: a small spark here says that something draws. Stop and find it."),
    "alive_again": msg(
        "Take the spare feed off and see that they work from their own battery, with all switches open."
    ),
    "precharge": msg(
        "Before the first switch is closed, charge its capacitors through a resistor of {resistor_ohms} across that "
        "switch: {current_a} at first, until it shows {until_v}. That takes {time_s}."
    ),
    "close_switch": msg("Close it. Its bus shows {rest_v} and nothing draws."),
    "first_join": msg(
        "Measure across it before it closes for the first time: no more than {difference_v}. More: charge the lower "
        "side first, with its own charger."
    ),
    "first_join_unknown": msg(
        "Measure across it before it closes for the first time. What it bears is not stated: bring both sides to the "
        "same voltage first."
    ),
    "close_switch_engine": msg("Close it; the key stays in the pocket until all else is done."),
    "loads_on": msg("Switch the loads on one by one, and compare each current with the schedule."),
    "start_shore": msg("Switch it on: the voltage rises to {charge_v} at most."),
    "start_generator": msg("Start the generator, then its charger: the voltage rises to {charge_v} at most."),
    "start_wind": msg("Release it: the voltage rises to {charge_v} at most."),
    "start_solar": msg(
        "Uncover the array or close its switch, now that its controller has its battery: {charge_v} at most."
    ),
    "first_start": msg(
        "Start the engine: {starter_v} or more at the starter's own terminals while it cranks. Then see that the "
        "alternator charges, and feel no joint grow hot."
    ),
    "alive_test": msg("Once more with all switches open, and with the lithium off if there is any: they must work."),
}
"""Each step, after the names of what is handled."""
