"""Every word of the drawings of the days is asked for by one of them."""

from dataclasses import replace

from proposal.drawings.day_energy import day_energy
from proposal.drawings.day_labels import DAY_LABELS
from proposal.drawings.days_out import neglect_timeline, no_charge_timeline
from proposal.drawings.storyboard import storyboard
from proposal.drawings.timeline import day_timeline
from proposal.drawings.years_chart import years_chart
from tests.drawings.behaving import day_for, neglect_for, no_charge_for, years_for
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.words import INFO, LABELS


class Asked(dict[str, str]):
    """Labels that remember which were asked for."""

    def __init__(self, labels: dict[str, str]) -> None:
        super().__init__(labels)
        self.asked: set[str] = set()

    def __getitem__(self, key: str) -> str:
        self.asked.add(key)
        return super().__getitem__(key)


def test_every_word_of_the_days_is_used() -> None:
    labels = Asked(LABELS)
    info = replace(INFO, labels=labels)
    for seed in range(60):
        circuit = circuit_for(seed)
        option, day = result_for(circuit, seed), day_for(circuit, seed)
        names = {e.key: e.key for e in circuit.loads}
        day_timeline(day, option, info, names, "S")
        day_energy(day, info, names, "S")
        no_charge_timeline(no_charge_for(circuit, seed), option, info, names)
        neglect_timeline(neglect_for(circuit, seed), option, info, names)
        years_chart(years_for(circuit, seed), info, names)
        if seed < 40:
            storyboard(circuit, option, [day], info)
        if labels.asked >= set(DAY_LABELS):
            return
    raise AssertionError(sorted(set(DAY_LABELS) - labels.asked))
