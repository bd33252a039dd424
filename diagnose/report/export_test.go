package report

// Along is checked against the poses that the layout's reader computes.
var Along = along
