"""What the browser computes with: values in script files, and computed answers."""
