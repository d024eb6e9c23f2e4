"""The referral rules: what is worth a vet's ear, with its reason, its cells and its source."""
