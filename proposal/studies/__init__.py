"""What the circuit will do: one folder per topic; studies/network is the one reduction of a circuit."""
