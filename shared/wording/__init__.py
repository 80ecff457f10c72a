"""How things are said: lengths on a tape, amounts, weights, sentences and cautions."""
