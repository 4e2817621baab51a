"""Files and answers other programs read: the filtered list as CSV, XLSX, GeoJSON and GeoPackage, the sheet's layers."""
