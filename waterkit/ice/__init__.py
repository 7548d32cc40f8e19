"""What the water becomes: sheets, layers, markings, paint, pebble. No dates here."""
