"""What takes it out of the water: the train of processes between supply and tank."""
