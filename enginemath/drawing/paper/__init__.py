"""What every picture is drawn with: lines, scales, letters, colours."""
