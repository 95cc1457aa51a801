"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const grid = JSON.parse(byId("grid").textContent);
  const { winds, weights, pressures, cells } = grid;
  const { code } = document.body.dataset;

  // What was typed, as a number of at least 0; a comma may stand for the point.
  const typed = (id) => {
    const text = byId(id).value.trim().replace(",", ".");
    return /^\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  };
  // The cell that a value lies in; on a line, the one above, but at the end.
  const within = ({ lines }, value) => {
    if (!(value >= lines[0] && value <= lines[lines.length - 1])) return -1;
    let i = lines.length - 2;
    while (i > 0 && value < lines[i]) i--;
    return i;
  };
  const cellAt = (pressure, weight, wind) =>
    pressure < 0 || weight < 0 || wind < 0 ? null : cells[(pressure * weights.names.length + weight) * winds.names.length + wind];

  const say = (id, lines) => {
    byId(id).replaceChildren(...lines.map(([kind, text]) => {
      const p = document.createElement("p");
      p.className = kind;
      p.textContent = text;
      return p;
    }));
  };
  const show = (id) => {
    for (const other of ["first", "day", "under"]) byId(other).hidden = other !== id;
    window.scrollTo(0, 0);
  };

  for (let i = pressures.names.length - 1; i >= 0; i--) {
    const option = document.createElement("option");
    option.value = String(i);
    option.textContent = `${pressures.names[i]} ${pressures.unit}`;
    byId("pressure").append(option);
  }

  // What is set once pressure goes on; null before. A browser that loads the page
  // anew must not forget that the rocket is under pressure.
  let set = null;
  const keep = () => {
    try {
      sessionStorage.setItem(document.title + " " + code, JSON.stringify(set));
    } catch { /* a browser that keeps nothing */ }
  };
  const kept = () => {
    try {
      return JSON.parse(sessionStorage.getItem(document.title + " " + code));
    } catch {
      return null;
    }
  };
  const underPressure = () => {
    byId("set").textContent = `Set with ${set.typed} ${weights.unit} on the scale, for ${pressures.names[set.pressure]} ${pressures.unit}. Change nothing on it now.`;
    byId("now").value = "";
    byId("gauge").value = "";
    show("under");
    launchOrNot();
  };

  const look = () => {
    const weight = typed("weight"), wind = typed("wind");
    byId("pressurise").hidden = true;
    if (Number.isNaN(weight) || Number.isNaN(wind)) {
      say("answer", [["ask", "Give weight and wind."]]);
      return null;
    }
    const at = { pressure: Number(byId("pressure").value), weight: within(weights, weight), wind: within(winds, wind) };
    const cell = cellAt(at.pressure, at.weight, at.wind);
    if (!cell) {
      const lines = [["word no", "NO-GO"]];
      if (at.weight < 0) lines.push(["", `Flown for ${weights.ends[0]} to ${weights.ends[1]} ${weights.unit} only.`]);
      if (at.wind < 0) lines.push(["", `Flown for wind up to ${winds.ends[1]} ${winds.unit} only.`]);
      say("answer", lines);
      return null;
    }
    if (cell.w === "NO-GO") {
      say("answer", [["word no", cell.w], ["", cell.y ? `for ${cell.y}` : "it was not flown"]]);
      return null;
    }
    say("answer", [
      ["word", cell.w],
      ["set", `water ${cell.g}`],
      ["set", `timer ${cell.t}`],
      ["set", `pressure ${pressures.names[at.pressure]} ${pressures.unit}, never above`],
      ["", `height ${cell.h}, lands at up to ${cell.l}`],
      ["", `comes down within ${cell.d} of the pad; without canopy ${cell.b}`],
      ["", `decided by ${cell.y}`],
    ]);
    byId("pressurise").hidden = false;
    return { ...at, cell };
  };

  const launchOrNot = () => {
    const wind = typed("now"), gauge = typed("gauge");
    if (Number.isNaN(wind) || Number.isNaN(gauge)) {
      say("order", [["ask", "Give wind and gauge, from where you stand."]]);
      return;
    }
    // The same water and timer must have been flown at every corner of where
    // wind and pressure are now.
    const cell = cellAt(within(pressures, gauge), set.weight, within(winds, wind));
    const go = cell && cell.w !== "NO-GO" && cell.g === set.cell.g && cell.t === set.cell.t;
    say("order", [go ? ["word", cell.w === "GO" ? "LAUNCH" : "LAUNCH, TIGHT"] : ["word no", "LET THE AIR OUT, from a distance"]]);
  };

  byId("agree").addEventListener("click", () => { show("day"); look(); });
  for (const id of ["weight", "wind", "pressure"]) byId(id).addEventListener("input", look);
  byId("pressurise").addEventListener("click", () => {
    set = look();
    if (!set) return;
    set.typed = byId("weight").value;
    keep();
    underPressure();
  });
  for (const id of ["now", "gauge"]) byId(id).addEventListener("input", launchOrNot);
  byId("over").addEventListener("click", () => {
    set = null;
    keep();
    for (const id of ["weight", "wind"]) byId(id).value = "";
    show("day");
    look();
  });
  set = kept();
  if (set) underPressure();
})();
