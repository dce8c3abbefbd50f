// @ts-check
"use strict";
(function () {
  const rungbook = (window.rungbook = window.rungbook || {});
  rungbook.patient = { refresh() {}, async peaks(id, record) { return { peaks: record.peaks.map(([works, peak]) => ({ works, peak, capacity: null })), person: { mass: 70, stature: 1.7, body: "female" } }; } };
})();
