// @ts-check
"use strict";
/**
 * Marks what is past its day: reviews that are due, acceptances that lapsed. The pages are the
 * same on any day; only the reader's own clock knows which day it is.
 */
(function () {
  const now = new Date();
  const today = [now.getFullYear(), now.getMonth() + 1, now.getDate()]
    .map((part) => String(part).padStart(2, "0"))
    .join("-");
  for (const time of document.querySelectorAll("time[data-due]")) {
    const due = time.getAttribute("data-due") || "";
    if (due && due < today) {
      const note = document.createElement("strong");
      note.className = "overdue";
      note.textContent = ` (past its day since ${due})`;
      time.after(note);
    }
  }
})();
