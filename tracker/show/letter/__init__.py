"""The letter to the vet: one frozen summary, as a PDF, a page and a message."""
