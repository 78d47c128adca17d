"""What is known of a lens by its engravings: published designs of its class as an ensemble, and ranges over them."""
