"""From an answer to paper and mail: notices, bars, QR codes. Heavy libraries load on first use."""
