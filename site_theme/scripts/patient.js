// @ts-check
"use strict";
/**
 * "For this patient": mass, stature, body table, a measured maximum, a tolerated arc. They stay
 * in this tab (see `state.js`), go along with links, and one button clears them.
 *
 * @typedef {Object} Capacity
 * @property {string} action
 * @property {string} side left or right
 * @property {number} nm
 * @property {string} angle at which it was measured, "" where not said
 * @property {string} pain of 10, "" where not said
 *
 * @typedef {Object} Patient
 * @property {Person} person
 * @property {boolean} set whether anything differs from the reference
 * @property {Capacity | null} capacity
 * @property {{action: string, from: number, to: number} | null} arc
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  const HELD = "What is entered about the patient, here and as limits, stays in this tab and goes along with links of this site. " +
    "It is not stored, not sent and in no address. A reload or a new tab loses it, and so does going back where the browser has to open the page again. " +
    "Addresses say which pages were opened and which exercises and doses are on a sheet, and browsers remember addresses: a private window forgets them when it is closed.";
  const TITLES = new Map([["mass", "body mass"], ["body", "body table"], ["age", "age"], ["capacity", "a measured maximum"], ["arc", "a tolerated arc"],
    ["since", "weeks since an operation"], ["lifted", "an order that was ended"]]);

  /** A number as people type it: a comma may be the point. @param {string} text @returns {number} */
  const typed = (text) => (/^\s*[-−]?\d+([.,]\d+)?\s*$/.test(text) ? Number(text.trim().replace(",", ".").replace("−", "-")) : NaN);

  /** @param {string} text @returns {{value?: number, error?: string}} */
  function readMass(text) {
    const value = typed(text.replace(/kg\s*$/i, ""));
    if (Number.isNaN(value)) return { error: "A number of kilograms, such as 70." };
    return value >= 20 && value <= 350 ? { value } : { error: "A body mass from 20 to 350 kg." };
  }

  /** In metres; centimetres are understood. @param {string} text @returns {{value?: number, error?: string}} */
  function readStature(text) {
    let value = typed(text.replace(/c?m\s*$/i, ""));
    if (Number.isNaN(value)) return { error: "A number of metres, such as 1.70." };
    if (value >= 90 && value <= 250) value = Math.round(value * 100) / 10000;
    if (value >= 0.9 && value <= 2.5) return { value };
    const guess = value >= 9 && value <= 25 ? ` Is ${value / 10} meant?` : "";
    return { error: `A stature from 0.90 to 2.50 m.${guess}` };
  }

  /** @param {string} text @returns {{value?: number, error?: string}} */
  function readAge(text) {
    const value = typed(text);
    if (Number.isNaN(value)) return { error: "A number of years, such as 70." };
    return value >= 1 && value <= 120 ? { value } : { error: "An age from 1 to 120 years." };
  }

  /** @param {string} text @returns {Capacity | null} `hip-abduction~left~60~30~2` */
  function readCapacity(text) {
    const [action, side, nm, angle, pain] = text.split("~");
    const value = Number(nm);
    if (!action || !["left", "right"].includes(side) || !(value > 0 && value <= 2000)) return null;
    return { action: action.replace("+", " "), side, nm: value, angle: angle || "", pain: pain || "" };
  }

  /** @param {any} library @returns {Patient} values that nobody could have entered count as not given */
  function current(library) {
    const { state } = rungbook;
    const [mass, stature, body] = library.person;
    const given = {
      mass: readMass(state.get("mass") || "").value,
      stature: readStature(state.get("stature") || "").value,
      body: library.tables.includes(state.get("body")) ? state.get("body") : undefined,
      age: readAge(state.get("age") || "").value,
    };
    const arc = (state.get("arc") || "").split("~");
    return {
      person: { mass: given.mass || mass, stature: given.stature || stature, body: given.body || body,
        age: given.age === undefined ? null : given.age },
      set: state.PERSON.some((/** @type {string} */ key) => state.get(key)),
      capacity: readCapacity(state.get("capacity") || ""),
      arc: arc.length === 3 && arc.slice(1).every((/** @type {string} */ end) => !Number.isNaN(typed(end)))
        ? { action: arc[0], from: typed(arc[1]), to: typed(arc[2]) } : null,
    };
  }

  /** Maxima and arcs by action. @param {Patient} patient */
  function maps(patient) {
    return {
      capacities: new Map(patient.capacity ? [[patient.capacity.action, patient.capacity.nm]] : []),
      arcs: new Map(patient.arc ? [[patient.arc.action, /** @type {[number, number]} */ ([patient.arc.from, patient.arc.to])]] : []),
    };
  }

  /** The load of an exercise's record for the patient. @param {any} record @param {Patient} patient */
  function loadOf(record, patient) {
    const { capacities, arcs } = maps(patient);
    return record.scaling ? rungbook.scaling.load(record.scaling, patient.person, capacities, arcs) : null;
  }

  /** `52 kg · 1.63 m · female` @param {Patient} patient */
  function inWords(patient) {
    const { number } = rungbook.answers;
    const { person, capacity, arc } = patient;
    const parts = [`${number(person.mass, 1)}\u202fkg`, `${number(person.stature, 2)}\u202fm`, `${person.body} body table`];
    if (person.age !== null) parts.push(`${number(person.age, 1)} years`);
    if (capacity) parts.push(`${spaced(capacity.action)} maximum ${number(capacity.nm, 1)}\u202fN·m ${capacity.side}${capacity.angle ? ` at ${capacity.angle}°` : ""}${capacity.pain ? `, pain ${capacity.pain} of 10` : ""}`);
    if (arc) parts.push(`${spaced(arc.action)} from ${number(arc.from)}° to ${number(arc.to)}°`);
    return parts.join(" · ");
  }

  /** @param {string} action */
  const spaced = (action) => action.replace(/-/g, " ");

  /**
   * What the notes need: peaks for the patient, with shares of a maximum of the same side.
   * @param {string} id @param {any} record of `data/sheet` @param {string} side
   */
  async function peaks(id, record, side) {
    const library = await rungbook.load("library");
    const patient = current(library);
    const data = await rungbook.load("exercise/" + id);
    const sided = patient.capacity && (side === patient.capacity.side || side === "both" || !side);
    const load = loadOf(data, sided ? patient : Object.assign({}, patient, { capacity: null }));
    const found = load
      ? load.demands.map((/** @type {any} */ one) => ({ works: spaced(one.works), peak: one.peak, capacity: one.capacity }))
      : [];
    return { peaks: found, person: patient.person };
  }

  /** A field with its label and its error below. @param {string} id @param {string} label @param {Object<string, any>} attributes */
  function field(id, label, attributes) {
    const el = rungbook.element;
    const input = el("input", Object.assign({ id, type: "text", inputmode: "decimal", size: 7, autocomplete: "off", "aria-describedby": id + "-error" }, attributes));
    const error = el("p", { class: "field-error", id: id + "-error", role: "alert" });
    return { input, error, place: el("div", { class: "field" }, el("label", { for: id }, label), input, error) };
  }

  /** @param {any} parts @param {string} message */
  function complain(parts, message) {
    parts.error.textContent = message;
    parts.input.setAttribute("aria-invalid", String(Boolean(message)));
  }

  /** @param {HTMLElement} place @param {any} library */
  function panel(place, library) {
    const { element: el, state } = rungbook;
    const now = el("span", { class: "patient-now" });
    const mass = field("patient-mass", "Body mass, kg", {});
    const stature = field("patient-stature", "Stature, m", {});
    const age = field("patient-age", "Age, years", { size: 4, autocomplete: "off" });
    const body = el("select", { id: "patient-body" }, ...library.tables.map((/** @type {string} */ name) => el("option", { value: name }, name)));
    const force = field("capacity-force", "Force, N", {});
    const distance = field("capacity-distance", "× distance from the joint, m", {});
    const moment = field("capacity-moment", "or moment, N·m", {});
    const angle = field("capacity-angle", "at, °", { size: 4 });
    const pain = field("capacity-pain", "pain of 10", { size: 4 });
    const action = el("select", { id: "capacity-action" }, ...library.worked.map((/** @type {string} */ name) => el("option", { value: name }, spaced(name))));
    const side = el("select", { id: "capacity-side" }, el("option", { value: "left" }, "left"), el("option", { value: "right" }, "right"));
    const from = field("arc-from", "From, °", { size: 4 });
    const to = field("arc-to", "to, °", { size: 4 });
    const arcAction = el("select", { id: "arc-action" }, ...library.worked.map((/** @type {string} */ name) => el("option", { value: name }, spaced(name))));
    const clear = el("button", { type: "button", class: "quiet-act" }, "Clear the patient");
    const refused = el("p", { class: "field-error", role: "status" });
    const details = el("details", {},
      el("summary", {}, "For this patient ", now), refused,
      el("div", { class: "patient-fields" }, mass.place, stature.place,
        el("div", { class: "field" }, el("label", { for: "patient-body" }, "Body table"), body), age.place),
      el("details", { class: "patient-more" }, el("summary", {}, "Measured maximum"),
        el("div", { class: "patient-fields" },
          el("div", { class: "field" }, el("label", { for: "capacity-action" }, "Action"), action),
          el("div", { class: "field" }, el("label", { for: "capacity-side" }, "Side"), side),
          force.place, distance.place, moment.place, angle.place, pain.place)),
      el("details", { class: "patient-more" }, el("summary", {}, "Arc tolerated today"),
        el("div", { class: "patient-fields" },
          el("div", { class: "field" }, el("label", { for: "arc-action" }, "Movement toward"), arcAction), from.place, to.place)),
      el("p", {}, clear, " ", el("span", { class: "hint" }, HELD)));
    // Without a form around them a browser keeps what stands in fields for its next start.
    const form = el("form", { autocomplete: "off" }, details);
    form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
    rungbook.fill(place, form);

    /** @param {any} parts @param {string} key @param {(text: string) => {value?: number, error?: string}} read */
    const number = (parts, key, read) => parts.input.addEventListener("change", () => {
      const text = parts.input.value.trim();
      const { value, error } = text ? read(text) : { value: undefined, error: "" };
      complain(parts, error || "");
      if (!error) state.set({ [key]: value === undefined ? null : String(value) });
    });
    number(mass, "mass", readMass);
    number(stature, "stature", readStature);
    number(age, "age", readAge);
    const sayAngle = () => {
      const label = angle.place.querySelector("label");
      if (label) label.textContent = `at, ° of ${rungbook.strength.measuredIn(library, action.value)}`;
    };
    action.addEventListener("change", sayAngle);
    body.addEventListener("change", () => state.set({ body: body.value === library.person[2] ? null : body.value }));

    async function takeCapacity() {
      for (const parts of [force, distance, moment, angle, pain]) complain(parts, "");
      const [f, d, m] = /** @type {any[]} */ ([force, distance, moment].map((parts) => (parts.input.value.trim() ? typed(parts.input.value) : null)));
      if (f === null && d === null && m === null) {
        state.set({ capacity: null });
        return;
      }
      const wrong = /** @type {any[][]} */ ([[force, f, 5000, "A force in newtons, such as 150."], [distance, d, 1, "A distance in metres up to 1, such as 0.35."], [moment, m, 2000, "A moment in newton metres, such as 60."]])
        .filter(([, value, most]) => value !== null && !(value > 0 && value <= most));
      wrong.forEach(([parts, , , message]) => complain(parts, message));
      if (wrong.length) return;
      if (m === null && (f === null || d === null)) return; // the other half is still to come
      const at = /** @type {any[][]} */ ([[angle, 360], [pain, 10]]).map(([parts, most]) => {
        const text = parts.input.value.trim();
        const bad = text !== "" && !(Math.abs(typed(text)) <= most);
        complain(parts, bad ? `A number up to ${most}.` : "");
        return bad ? null : text ? String(typed(text)) : "";
      });
      if (at.includes(null)) return;
      const nm = m === null ? f * d : m;
      const lightest = await lightestHere(action.value, current(library));
      if (lightest && nm < lightest.peak) {
        const words = `${rungbook.answers.moment(nm)} is below the lightest exercise here, ${lightest.title} with ${rungbook.answers.moment(lightest.peak)}: check the number, or look for something easier.`;
        complain(m === null ? force : moment, words);
        return;
      }
      if (m === null) moment.input.value = "";
      state.set({ capacity: [action.value, side.value, String(Number(nm.toPrecision(12))), ...at].join("~").replace(/~+$/, "") });
    }
    for (const input of [force.input, distance.input, moment.input, angle.input, pain.input, action, side]) {
      input.addEventListener("change", () => void takeCapacity());
    }

    function takeArc() {
      const ends = [from, to].map((parts) => {
        const text = parts.input.value.trim();
        const bad = text !== "" && !(Math.abs(typed(text)) <= 180);
        complain(parts, bad ? "An angle in degrees, such as 40." : "");
        return bad ? NaN : text ? typed(text) : null;
      });
      if (ends.every((end) => end === null)) state.set({ arc: null });
      else if (ends.every((end) => end !== null && !Number.isNaN(end))) state.set({ arc: [arcAction.value, ...ends].join("~") });
    }
    for (const input of [from.input, to.input, arcAction]) input.addEventListener("change", takeArc);

    clear.addEventListener("click", () => {
      for (const input of details.querySelectorAll("input")) input.value = "";
      for (const parts of [mass, stature, age, force, distance, moment, angle, pain, from, to]) complain(parts, "");
      state.forget();
      details.querySelector("summary").focus();
    });

    /** @param {any} input @param {string} value */
    const put = (input, value) => {
      if (input.getAttribute("aria-invalid") !== "true" && document.activeElement !== input) input.value = value;
    };
    return () => {
      const patient = current(library);
      place.classList.toggle("patient-set", patient.set);
      now.textContent = patient.set ? inWords(patient) : `now ${inWords(patient)}, the reference`;
      const given = state.refused().map((/** @type {string} */ key) => TITLES.get(key) || key);
      refused.textContent = given.length
        ? `The address of this page brought what is about a patient (${given.join(", ")}). It was left out: browsers remember addresses. Enter it here.` : "";
      details.open = details.open || given.length > 0;
      put(mass.input, state.get("mass") || "");
      put(stature.input, state.get("stature") || "");
      put(age.input, state.get("age") || "");
      body.value = patient.person.body;
      if (patient.capacity) {
        action.value = patient.capacity.action;
        side.value = patient.capacity.side;
        if (!force.input.value) put(moment.input, String(patient.capacity.nm));
        put(angle.input, patient.capacity.angle);
        put(pain.input, patient.capacity.pain);
      }
      sayAngle();
      if (patient.arc) {
        arcAction.value = patient.arc.action;
        put(from.input, String(patient.arc.from));
        put(to.input, String(patient.arc.to));
      }
      clear.disabled = !patient.set;
    };
  }

  /** The lightest exercise on the page that works an action. @param {string} action @param {Patient} patient */
  async function lightestHere(action, patient) {
    const ids = rungbook.rescale.exercisesIn(document.body);
    const records = await Promise.all(ids.map((/** @type {string} */ id) => rungbook.load("exercise/" + id).catch(() => null)));
    let best = null;
    for (const record of records) {
      const load = record && loadOf(record, Object.assign({}, patient, { capacity: null, arc: null }));
      const demand = load && load.demands.find((/** @type {any} */ one) => one.works === action);
      if (demand && demand.peak > 1 && (!best || demand.peak < best.peak)) best = { peak: demand.peak, title: record.title };
    }
    return best;
  }

  rungbook.patient = {
    current, loadOf, inWords, peaks, readMass, readStature, readAge,
    /** Rescales what is in an element; called again after it was drawn anew. @param {Element} place */
    refresh: (place) => void rungbook.rescale.apply(place),
  };

  document.addEventListener("DOMContentLoaded", async () => {
    const places = [...document.querySelectorAll("[data-patient]")];
    let library;
    try {
      library = await rungbook.load("library");
    } catch {
      return; // without data the reference person's numbers stand
    }
    const refreshers = places.map((place) => panel(/** @type {HTMLElement} */ (place), library));
    const show = () => {
      refreshers.forEach((refresh) => refresh());
      void rungbook.rescale.apply(document.body);
    };
    rungbook.state.onChange(show);
    show();
  });
})();
