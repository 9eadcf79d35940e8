"""The physics: air, flow, pneumatics and the gate. It knows nothing of the knowledge."""
