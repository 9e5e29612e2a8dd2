"""Charge sources set otherwise in one option than in the base."""

import pytest

from proposal.errors import SpecError
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from tests.rules.conftest import FOLDER


def project(tmp_path, settings):
    for file in FOLDER.iterdir():
        text = file.read_text()
        if file.name == "spec.yaml":
            text = text.replace(
                "    title: Lead starts too\n", f"    title: Lead starts too\n    settings: {settings}\n"
            )
        (tmp_path / file.name).write_text(text)
    return load_project(tmp_path)


def laid(found, option):
    return effective(found.spec.value, found.installer.value, option).spec.sources


def test_the_option_sets_what_it_states_and_leaves_the_rest(tmp_path):
    found = project(tmp_path, "{solar: {voltage: 14.6 V, compensation: -24 mV/K}}")
    own, other = laid(found, "shared"), laid(found, "dedicated")
    assert (own["solar"].charge_v, own["solar"].compensation_v_per_k) == (14.6, -0.024)
    assert (other["solar"].charge_v, other["solar"].compensation_v_per_k) == (14.2, None)
    assert own["solar"].model_copy(update={"charge_v": 14.2, "compensation_v_per_k": None}) == other["solar"]
    assert own["shore"] == other["shore"]


def test_settings_of_a_source_that_is_not_there(tmp_path):
    with pytest.raises(SpecError) as caught:
        project(tmp_path, "{wind: {voltage: 14.6 V}}")
    (problem,) = caught.value.problems
    assert "“wind” is not one of the names under sources" in problem.what
    assert problem.allowed == "alternator, shore, solar"
