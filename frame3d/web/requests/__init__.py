"""What comes with a request: lists, designs in an address, and limits."""
