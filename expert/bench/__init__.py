"""The physics: air, flow, pneumatics, the gate, and whole simulated cars. Knows no knowledge."""
