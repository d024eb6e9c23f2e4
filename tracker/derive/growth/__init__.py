"""How fast the wall grows by marks that were followed down it, and how much of it has grown since the shoes came off."""
