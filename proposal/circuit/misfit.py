"""Parts and sections that do not fit together: found while the circuit is made, reported at their place in the spec."""

from proposal.spec.references import Complaint


class MisfitError(Exception):
    """`complaints`: (path in the spec, what is wrong, what is allowed), all at once."""

    def __init__(self, complaints: tuple[Complaint, ...]) -> None:
        super().__init__("; ".join(what for _, what, _ in complaints))
        self.complaints = complaints
