"""What a person enters, from the form to the owner's workbook: looked over first, never lost, never doubled."""
