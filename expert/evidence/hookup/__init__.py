"""What is really plumbed, judged by physics: wrong hoses, what the gate sees, what follows."""
