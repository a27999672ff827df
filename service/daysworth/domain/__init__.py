"""What is true of the trade, without a framework, a database or a clock."""
