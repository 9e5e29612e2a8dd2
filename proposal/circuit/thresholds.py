"""Voltages at which a relay acts: stated in the spec, else by its part, else assumed; known once a part is chosen."""

from dataclasses import replace

from proposal.circuit.assumed import CONTROLLER_TOLERANCE_12V, RELAY_THRESHOLDS_12V, Assumed
from proposal.circuit.model import Circuit, SeriesDevice


def threshold_v(device: SeriesDevice, name: str, system_v: float) -> tuple[float, bool]:
    """A voltage-sensitive relay's joins_v, releases_v or tolerance_v [V], and whether it is assumed."""
    declared = dict(device.settings).get(name)
    stated = declared if declared is not None else getattr(device.part, name, None)
    return (stated, False) if stated is not None else (RELAY_THRESHOLDS_12V[name] * (system_v / 12.0), True)


def controller_tolerance_v(device: SeriesDevice, system_v: float) -> tuple[float, bool]:
    """How far a contactor's controller may misread a voltage [V], and whether that is assumed."""
    stated = dict(device.settings).get("tolerance_v")
    return (stated, False) if stated is not None else (CONTROLLER_TOLERANCE_12V * (system_v / 12.0), True)


def with_thresholds(circuit: Circuit) -> Circuit:
    """The circuit with every relay's thresholds among its settings, and those that nobody states among its assumptions.

    Called when parts are chosen: before that nobody knows what a part will say. Called again it changes nothing.
    """
    devices, assumed = [], list(circuit.assumed)
    for device in circuit.devices:
        settings = dict(device.settings)
        for name in RELAY_THRESHOLDS_12V if device.kind == "vsr" else ():
            value_v, guessed = threshold_v(device, name, circuit.system_v)
            settings[name] = value_v
            if guessed:
                assumed.append(Assumed(device.key, f"relay_{name[:-2]}", ((name, value_v),)))
        if "joins_below_v" in settings or "lithium_above_v" in settings:
            settings["tolerance_v"], guessed = controller_tolerance_v(device, circuit.system_v)
            if guessed:
                assumed.append(Assumed(device.key, "controller_tolerance", (("tolerance_v", settings["tolerance_v"]),)))
        same = len(settings) == len(device.settings)
        devices.append(device if same else replace(device, settings=tuple(settings.items())))
    if all(one is other for one, other in zip(devices, circuit.devices, strict=True)):
        return circuit
    return replace(circuit, devices=tuple(devices), assumed=tuple(assumed))
