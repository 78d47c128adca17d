"""What a careful colleague would add to a number: remarks and cautions, each text in one place."""
