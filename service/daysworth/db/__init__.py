"""Keep a store in a database: rows, transactions, the ledger, the loading of snapshots."""
