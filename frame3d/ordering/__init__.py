"""What an order needs on paper: requests for quotation, labels and bundles, hours, alternatives."""
