"""What is in the water: analyses, ions, carbonate, conductivity, meters, limits."""
