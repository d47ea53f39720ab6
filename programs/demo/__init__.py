"""An invented clinic to look around in. Nobody here exists, nor does the town of Larkmere."""
