// Spreadsheet files are not read through danfojs: CSV is read by papaparse.
module.exports = {};
