// @ts-check
"use strict";
/**
 * Puts the patient's numbers where the page shows the reference person's, and back again.
 *
 * `data-peak="ID"` (and `data-works`) is a moment, `data-ratio="ID OTHER"` a comparison,
 * `data-step="EASIER HARDER"` a step, `data-facts="ID"` a list of facts, `data-person` who the
 * numbers are for, `data-joints="ID"` the rows of a table of joints, `data-peak-at` an angle,
 * `data-strength="ID"` a share of strength, `data-inertia` and `data-withheld` sentences; `data-reference` words stay the reference person's
 * and say so, `data-patient-note` is shown while a patient is set; curves and charts say themselves whose they are.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SELECTOR = "[data-peak], [data-peak-at], [data-strength], [data-withheld], [data-inertia], [data-joints], [data-reference], [data-patient-note], .option-rises, [data-ratio], [data-step], [data-facts], [data-person], [data-load-of] svg[data-works], svg.rung-chart, svg.drawn-map";
  /** @type {WeakMap<Element, Node[]>} */
  const originals = new WeakMap();
  const INERTIA_WORTH_SAYING = 0.15; // as `site/load_panel.py`
  const JOINT_SHOWN_NM = 0.5;
  let turn = 0;

  /** The ids an element speaks of. @param {Element} node @returns {string[]} */
  function idsOf(node) {
    const data = /** @type {HTMLElement} */ (node).dataset;
    if (data.peak) return [data.peak];
    if (data.ratio) return data.ratio.split(" ");
    if (data.step) return [...data.step.split(" "), ...(data.goal ? [data.goal] : [])];
    const own = data.facts || data.peakAt || data.strength || data.withheld || data.inertia || data.joints;
    if (own) return [own];
    if (node.matches("svg.rung-chart")) {
      return [...(node.closest("[data-rungs]") || node).querySelectorAll("[data-rung]")].map((row) => row.getAttribute("data-rung") || "");
    }
    if (node.matches("svg.drawn-map")) return [...node.querySelectorAll(".node")].map(rungbook.redraw.exerciseOf);
    const load = node.closest("[data-load-of]");
    return load && node.matches("svg") ? [load.getAttribute("data-load-of") || ""] : [];
  }

  /** @param {ParentNode} place @returns {string[]} every exercise whose numbers are shown there */
  function exercisesIn(place) {
    return [...new Set([...place.querySelectorAll(SELECTOR)].flatMap(idsOf))].filter(Boolean);
  }

  /** What an element held before any rescaling. @param {Element} node */
  function restore(node) {
    const kept = originals.get(node);
    if (kept) node.replaceChildren(...kept.map((child) => child.cloneNode(true)));
    else originals.set(node, [...node.childNodes].map((child) => child.cloneNode(true)));
    node.classList.remove("rescaled");
    const { dataset } = /** @type {HTMLElement} */ (node);
    if (dataset.patientNote !== undefined) /** @type {HTMLElement} */ (node).hidden = true;
    if (dataset.inertia) /** @type {HTMLElement} */ (node).hidden = !node.textContent;
  }

  /** Main demand, or the one of an action written with or without hyphens. @param {any} load @param {string | undefined} works */
  function demandOf(load, works) {
    if (!load) return null;
    const wanted = works && works.replace(/-/g, " ");
    const found = wanted ? load.demands.filter((/** @type {any} */ one) => one.works.replace(/-/g, " ") === wanted) : load.demands;
    return found.reduce((/** @type {any} */ best, /** @type {any} */ one) => (!best || one.peak > best.peak ? one : best), null);
  }

  /** The demand about a ladder's works, as its steps count it; the exercise's own without one. @param {string} id @param {any} ladder @param {any} context */
  function demandOn(id, ladder, { records, loads, patient }) {
    const [load, record] = [loads.get(id), records.get(id)];
    const own = demandOf(load, undefined);
    if (!own || !ladder || !record || !record.scaling) return own;
    const about = ladder.works.map((/** @type {string} */ action) => {
      const named = load.demands.find((/** @type {any} */ one) => one.works === action);
      const peak = named ? null : rungbook.scaling.peakAbout(record.scaling, load.shown, action, patient.person);
      return named || (peak === null ? null : Object.assign({}, own, { peak, capacity: null }));
    }).filter(Boolean);
    return about.reduce((/** @type {any} */ best, /** @type {any} */ one) => (!best || one.peak > best.peak ? one : best), null) || own;
  }

  /** @param {ParentNode} place */
  async function apply(place) {
    const mine = (turn += 1);
    const library = await rungbook.load("library");
    const patient = rungbook.patient.current(library);
    const nodes = /** @type {HTMLElement[]} */ ([...place.querySelectorAll(SELECTOR)]);
    if (!patient.set) {
      nodes.filter((node) => originals.has(node)).forEach(restore);
      return;
    }
    const ladders = nodes.map((node) => node.dataset.step ? ladderOf(node, library)
      : node.matches("svg.rung-chart") ? chartedLadder(node, library) : null).filter(Boolean);
    const ids = [...new Set([...nodes.flatMap(idsOf), ...ladders.flatMap(rungbook.patientSteps.neededFor)])].filter(Boolean);
    const found = await Promise.all(ids.map((id) => rungbook.load("exercise/" + id).catch(() => null)));
    const tables = nodes.map((node) => node.dataset.joints || "").filter(Boolean);
    const joints = new Map(await Promise.all(tables.map(async (id) =>
      /** @type {[string, any]} */ ([id, await rungbook.load("joints/" + id).catch(() => null)]))));
    if (mine !== turn && place === document.body) return;
    const records = new Map(ids.map((id, i) => [id, found[i]]));
    const loads = new Map(ids.map((id) => [id, records.get(id) && rungbook.patient.loadOf(records.get(id), patient)]));
    const judges = new Map([...new Set(ladders)].map((ladder) =>
      [ladder.id, rungbook.patientSteps.rulerFor(ladder, records, patient, library)]));
    const context = { library, patient, records, loads, joints, judges };
    for (const node of nodes) {
      restore(node);
      put(node, context);
    }
  }

  /** @param {HTMLElement} node @param {any} context */
  function put(node, context) {
    const { patient, loads } = context;
    const data = node.dataset;
    if (data.person !== undefined) {
      node.textContent = rungbook.patient.inWords(patient);
    } else if (data.peak) {
      putPeak(node, loads.get(data.peak), patient, data.ladder ? demandOn(data.peak, namedLadder(node, context.library), context) : undefined);
    } else if (data.ratio) {
      const [one, other] = data.ratio.split(" ").map((id) => demandOn(id, namedLadder(node, context.library), context));
      if (!one || !other || other.peak <= 1e-9) return;
      node.textContent = ratioWords(one.peak / other.peak, data.form || "factor");
    } else if (data.step) {
      putStep(node, context);
    } else if (data.peakAt) {
      const demand = demandOf(loads.get(data.peakAt), data.works);
      if (demand) node.textContent = `${rungbook.answers.number(Number(data.turn || 1) * demand.peakAt)}°`;
    } else if (data.strength) {
      const demand = demandOf(loads.get(data.strength), data.works);
      if (demand) node.textContent = demand.peak > 0 ? rungbook.strength.words(context.library, demand, patient) : "";
    } else if (data.withheld) {
      putWithheld(node, loads.get(data.withheld), patient);
    } else if (data.inertia) {
      putInertia(node, loads.get(data.inertia));
    } else if (data.joints) {
      putJoints(node, data.joints, context);
    } else if (data.reference !== undefined) {
      node.prepend(rungbook.element("p", { class: "entry-note" }, "These words are for the reference person, not for this patient."));
    } else if (data.patientNote !== undefined) {
      node.hidden = false;
    } else if (node.matches(".option-rises")) {
      node.append(" (for the reference person)");
    } else if (data.facts) {
      putFacts(node, loads.get(data.facts), patient);
    } else if (node.matches("svg.drawn-map")) {
      const ladder = ladderOfRungs(idsOf(node), context.library);
      rungbook.redraw.map(node, (/** @type {string} */ id) => demandOn(id, document.querySelector("[data-load-of]") ? null : ladder, context));
    } else if (node.matches("svg.rung-chart")) {
      const ladder = chartedLadder(node, context.library);
      if (ladder) rungbook.rungCharts.draw(node, ladder, context.judges.get(ladder.id), stepsOf(ladder, context), (/** @type {string} */ id) => demandOn(id, ladder, context));
    } else {
      const id = idsOf(node)[0];
      const demand = demandOf(loads.get(id), node.getAttribute("data-works") || undefined);
      if (demand && demand.basis === "statics") rungbook.redraw.curve(node, demand, patient.arc);
    }
    node.classList.add("rescaled");
  }

  /** The ladder whose rungs a chart is among. @param {Element} node @param {any} library */
  function chartedLadder(node, library) {
    const list = /** @type {HTMLElement | null} */ (node.closest("[data-rungs]"));
    return library.ladders.find((/** @type {any} */ one) => list && one.id === list.dataset.rungs) || null;
  }

  /** The ladder with just these rungs. @param {string[]} rungs @param {any} library */
  function ladderOfRungs(rungs, library) {
    return library.ladders.find((/** @type {any} */ one) => one.rungs.length === rungs.length && rungs.every((id) => one.rungs.includes(id))) || null;
  }

  /** A ladder's steps for the patient. @param {any} ladder @param {any} context */
  function stepsOf(ladder, { library, patient, records, judges }) {
    return (ladder ? ladder.steps : []).map((/** @type {number[]} */ pair) => {
      const [from, to] = [ladder.rungs[pair[0]], ladder.rungs[pair[1]]];
      const [low, high] = [from, to].map((id) => records.get(id));
      return { from, to, step: low && high && rungbook.patientSteps.stepFor(low, high, judges.get(ladder.id), library, patient) };
    }).filter((/** @type {any} */ one) => one.step);
  }

  /** The ladder an element names. @param {HTMLElement} node @param {any} library */
  function namedLadder(node, library) {
    return library.ladders.find((/** @type {any} */ one) => one.id === node.dataset.ladder) || null;
  }

  /** @param {HTMLElement} node @param {any} load @param {any} patient @param {any} [about] the demand, where it is not the exercise's own */
  function putPeak(node, load, patient, about) {
    if (load && load.withheld && !load.demands.length) {
      node.textContent = `no number: ${load.withheld}`;
      return;
    }
    const demand = upTo(about || demandOf(load, node.dataset.works), node.dataset.until);
    if (!demand) return;
    node.textContent = rungbook.answers.moment(demand.peak);
    if (demand.capacity !== null) {
      node.append(rungbook.element("small", { class: "of-maximum" },
        ` ${rungbook.answers.percent(demand.capacity)} of the ${patient.capacity.side} maximum`));
    }
  }

  /** A demand of a movement that stops earlier. @param {any} demand @param {string | undefined} until */
  function upTo(demand, until) {
    if (!demand || until === undefined || demand.basis !== "statics") return demand;
    const peak = Math.max(0, ...demand.curves.map((/** @type {any} */ [, curve]) => rungbook.limits.greatestUntil(curve, Number(until))));
    return Object.assign({}, demand, { peak, capacity: demand.capacity && demand.peak ? (demand.capacity * peak) / demand.peak : demand.capacity });
  }

  /** What a measured maximum or a published figure makes known. @param {HTMLElement} node @param {any} load @param {any} patient */
  function putWithheld(node, load, patient) {
    if (!load) return;
    if (!load.demands.length) {
      if (load.withheld) node.textContent = load.withheld;
      return;
    }
    const { moment, number, percent } = rungbook.answers;
    node.textContent = load.demands.map((/** @type {any} */ one) => {
      const share = one.capacity === null ? "" : `, ${percent(one.capacity)} of the ${patient.capacity.side} maximum`;
      return `${moment(one.peak)} ${one.works.replace(/-/g, " ")}, most at ${number(one.peakAt)}°${share}`;
    }).join("; ");
  }

  /** @param {HTMLElement} node @param {any} load */
  function putInertia(node, load) {
    if (!load) return;
    node.textContent = load.inertial > INERTIA_WORTH_SAYING
      ? `At this tempo speeding up and slowing down adds about ${rungbook.answers.percent(load.inertial)} to the static peak.` : "";
    node.hidden = !node.textContent;
  }

  /** @param {HTMLElement} node the rows' place @param {string} id @param {any} context */
  function putJoints(node, id, { loads, records, joints, patient }) {
    const el = rungbook.element;
    const [load, table] = [loads.get(id), joints.get(id)];
    const line = (/** @type {string} */ words) => el("tr", {}, el("td", { colspan: 3 }, words));
    if (!load || !table) {
      node.prepend(line("These numbers are for the reference person, not for this patient."));
      return;
    }
    const { number, moment } = rungbook.answers;
    const rows = rungbook.scaling.jointPeaks(table, load.shown.way, patient.person)
      .filter((/** @type {any} */ one) => one.peak >= JOINT_SHOWN_NM)
      .map((/** @type {any} */ one) => {
        const [from, to] = one.ends.map((/** @type {number} */ end) => `${number(end)}°`);
        return el("tr", {}, el("th", { scope: "row" }, one.name.replace(/-/g, " ")),
          el("td", { class: "right" }, moment(one.peak)), el("td", {}, `${from} to ${to}`));
      });
    rungbook.fill(node, ...rows, ...(patient.arc ? [line("Over the whole movement, not only the arc tolerated today.")] : []));
  }

  /** @param {number} ratio @param {string} form times, percent or factor */
  function ratioWords(ratio, form) {
    const { times, percent, number } = rungbook.answers;
    if (form === "times") return times(ratio);
    return form === "percent" ? percent(ratio) : `${number(ratio, ratio >= 2 ? 1 : 2)} ×`;
  }

  /** The ladder whose limits the page's own step has: the one named, or the first with both. @param {HTMLElement} node @param {any} library */
  function ladderOf(node, library) {
    const { step, ladder } = node.dataset;
    if (ladder !== undefined) return namedLadder(node, library);
    return library.ladders.find((/** @type {any} */ one) => one.steps.some((/** @type {any[]} */ pair) => `${one.rungs[pair[0]]} ${one.rungs[pair[1]]}` === step)) || null;
  }

  /** @param {HTMLElement} node @param {any} context */
  function putStep(node, { library, patient, records, judges }) {
    const [from, to] = (node.dataset.step || "").split(" ").map((id) => records.get(id));
    const ladder = ladderOf(node, library);
    const judge = ladder ? judges.get(ladder.id) : rungbook.patientSteps.rulerOff(records.get(node.dataset.goal), patient, library);
    const step = from && to && rungbook.patientSteps.stepFor(from, to, judge, library, patient);
    if (!step) return;
    const shown = node.querySelector(".step");
    if (shown) shown.replaceWith(rungbook.answers.stepSize(step, node.querySelector(".step-accepted") !== null));
    const worst = node.querySelector("[data-worst]");
    const axis = step.axes.get(step.worst);
    if (worst && axis) worst.textContent = rungbook.answers.axisWords(step.worst, axis.from, axis.to, null, axis.works);
    const changes = node.querySelector("[data-changes]");
    if (changes) changes.textContent = rungbook.answers.stepWords(step).changes.join(" · ");
  }

  /** @param {HTMLElement} node @param {any} load @param {any} patient */
  function putFacts(node, load, patient) {
    const { moment, number, percent, significant } = rungbook.answers;
    const demand = demandOf(load, node.dataset.works);
    if (!load || !demand) {
      for (const row of node.querySelectorAll("dt")) {
        if (/Weight-bearing|Impulse|Mean|Muscle|maximum|Carried/.test(row.textContent || "") && row.nextElementSibling) {
          row.nextElementSibling.textContent = "no number for this patient";
        }
      }
      return;
    }
    const contraction = ["lifting", "lowering", "holding"].map((word, i) => [word, demand.contraction[i]])
      .filter(([, share]) => share >= 0.005).map(([word, share]) => `${word} ${percent(share)}`).join(", ");
    const rows = new Map([
      ["Mean over the movement", moment(demand.mean)],
      ["Impulse per repetition", `${significant(demand.impulse)}\u202fN·m·s`],
      ["Muscle works by", contraction],
      ["Impulse per week", `${significant(load.volume)}\u202fN·m·s`],
      ["Peak per kilogram", `${number(demand.perMass, 2)}\u202fN·m/kg`],
    ]);
    if (demand.capacity !== null) rows.set("Of the measured maximum", percent(demand.capacity));
    for (const row of node.querySelectorAll("dt")) {
      const heading = row.textContent || "";
      const value = heading.startsWith("Weight-bearing") ? percent(load.bearing) + " of body weight"
        : heading.startsWith("Carried at") && row.nextElementSibling ? `${row.nextElementSibling.textContent}, for the reference person` : rows.get(heading);
      if (value !== undefined && row.nextElementSibling) row.nextElementSibling.textContent = value;
    }
  }

  rungbook.rescale = { apply, exercisesIn };
})();
