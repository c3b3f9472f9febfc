"""What sheets are drawn with: lines, texts, hatching, paper."""
