"use strict";
(() => {
  const count = data.designs.length;

  // What is shown: the chosen design, and ranges that narrow the table, each
  // under the name of the chart it was drawn in.
  let chosen = data.knee < 0 ? 0 : data.knee;
  const ranges = new Map();

  const within = (i) => [...ranges.values()].flat().every((r) => {
    const v = data.axes[r.axis].values[i];
    return v !== null && v >= r.from && v <= r.to;
  });
  const limitsOf = (axis) => [[axis.least, "at least"], [axis.most, "at most"]].filter(([v]) => v !== null);
  const tell = (i) => "<b>design " + data.designs[i] + (i === data.knee ? ", the knee" : "") + "</b>" +
    data.axes.slice(0, data.goals).map((a) => "<br>" + echarts.format.encodeHTML(a.name + " " + a.text[i] + " " + a.unit)).join("");

  const tickOf = (axis) => axis.words ? (v) => axis.words[v - 1] || "" : tick;

  // The extent of an axis: its words, or its values and a limit that lies near, and a little
  // room.
  function extent(axis) {
    if (axis.words) return [0, axis.words.length + 1];
    const values = axis.values.filter((v) => v !== null);
    let low = Math.min(...values), high = Math.max(...values);
    const reach = (high - low) / 2;
    for (const [v] of limitsOf(axis)) {
      if (v >= low - reach && v <= high + reach) [low, high] = [Math.min(low, v), Math.max(high, v)];
    }
    const room = (high - low) * 0.06 || 1;
    return [low - room, high + room];
  }

  // Scatter of two goals.

  const pairs = [];
  for (let i = 0; i < data.goals; i++) for (let j = 0; j < i; j++) pairs.push([j, i]);

  function makeScatter([x, y]) {
    const box = document.createElement("div");
    box.className = "chart";
    box.id = "scatter-" + x + "-" + y;
    box.setAttribute("role", "img");
    box.setAttribute("aria-label", data.axes[y].name + " against " + data.axes[x].name + ". The table below holds the same numbers.");
    byId("scatters").append(box);
    const c = chart(box);
    c.on("click", (e) => { if (e.data && e.data.design !== undefined) choose(e.data.design); });
    c.on("brushEnd", (e) => {
      const area = e.areas[0];
      if (!area) ranges.delete(box.id);
      else {
        const [[x0, x1], [y0, y1]] = area.coordRange;
        ranges.set(box.id, [{ axis: x, from: x0, to: x1 }, { axis: y, from: y0, to: y1 }]);
      }
      narrow();
    });
  }

  function drawScatter([x, y]) {
    const [X, Y] = [data.axes[x], data.axes[y]];
    const point = (i, more) => ({ value: [X.values[i], Y.values[i]], design: i, ...more });
    const designs = data.designs.map((_, i) => i).filter((i) => X.values[i] !== null && Y.values[i] !== null);
    const side = (axis, at) => {
      const [min, max] = extent(axis);
      return { type: "value", min, max, name: label(axis), nameLocation: "middle", nameGap: at, ...scaleStyle(),
        axisLabel: { ...scaleStyle().axisLabel, showMinLabel: false, showMaxLabel: false, formatter: tick } };
    };
    const inside = (axis, v) => v >= extent(axis)[0] && v <= extent(axis)[1];
    const lines = [
      ...limitsOf(X).filter(([v]) => inside(X, v)).map(([v, word]) => ({ xAxis: v, label: { position: "insideEndTop", formatter: word + " " + number(v) } })),
      ...limitsOf(Y).filter(([v]) => inside(Y, v)).map(([v, word]) => ({ yAxis: v, label: { position: "insideEndTop", formatter: word + " " + number(v) } })),
    ];
    const marked = (i, symbol, size, style, word) => designs.includes(i) ? {
      type: "scatter", symbol, symbolSize: size, itemStyle: style, cursor: "default",
      label: { show: true, formatter: word, position: symbol === "rect" ? "bottom" : "top", color: colours.ink, textBorderColor: colours.ground, textBorderWidth: 3 },
      data: [point(i)],
    } : { type: "scatter", data: [] };
    const c = charts.get("scatter-" + x + "-" + y);
    c.setOption({
      animation: false, textStyle: text(),
      grid: { left: 56, right: 16, top: 24, bottom: 48 },
      xAxis: side(X, 28), yAxis: side(Y, 40),
      tooltip: { ...tooltip(), trigger: "item", formatter: (e) => e.data && e.data.design !== undefined ? tell(e.data.design) : "" },
      brush: { xAxisIndex: 0, yAxisIndex: 0, brushMode: "single", transformable: true, seriesIndex: [],
        brushStyle: { color: echarts.color.modifyAlpha(colours.faint, 0.15), borderColor: colours.faint, borderWidth: 1 } },
      series: [
        { type: "scatter", symbol: "circle", symbolSize: 5, itemStyle: { color: colours.faint, opacity: 0.35 }, data: designs.filter((i) => !within(i)).map((i) => point(i)) },
        { type: "scatter", symbol: "circle", symbolSize: 8, itemStyle: { color: colours.design }, data: designs.filter(within).map((i) => point(i)) },
        { type: "scatter", data: [], markLine: { silent: true, symbol: "none", lineStyle: dashed(1), label: { color: colours.ink, fontSize: 11, textBorderColor: colours.ground, textBorderWidth: 3 }, data: lines } },
        marked(data.knee, "rect", 12, { color: colours.ink }, "knee"),
        marked(chosen, "circle", 18, { color: "transparent", borderColor: colours.chosen, borderWidth: 3 }, "design " + data.designs[chosen]),
      ],
    });
  }

  function useBoxes(on) {
    for (const pair of pairs) {
      charts.get("scatter-" + pair.join("-")).dispatchAction({ type: "takeGlobalCursor", key: "brush", brushOption: { brushType: on ? "rect" : false, brushMode: "single" } });
    }
  }

  // Parallel axes of everything that differs.

  const shown = data.axes.map((_, k) => k).filter((k) => {
    const values = data.axes[k].values;
    return values.some((v) => v !== values[0]) && values.every((v) => v !== null);
  });
  const narrowScreen = () => document.documentElement.clientWidth < 700;

  function makeParallel() {
    const c = chart(byId("parallel"));
    c.on("axisareaselected", (e) => {
      const k = shown[Number(e.parallelAxisId.slice(1))];
      const kept = (ranges.get("parallel") || []).filter((r) => r.axis !== k);
      const interval = e.intervals[0];
      if (interval) kept.push({ axis: k, from: Math.min(...interval), to: Math.max(...interval) });
      if (kept.length) ranges.set("parallel", kept); else ranges.delete("parallel");
      narrow();
    });
    c.on("click", (e) => { if (e.data && e.data.design !== undefined) choose(e.data.design); });
  }

  function drawParallel() {
    const box = byId("parallel"), c = charts.get("parallel");
    const upright = !narrowScreen();
    const room = upright ? { left: 60, right: 60, top: 104, bottom: 28 } : { left: 24, right: 28, top: 48, bottom: 28 };
    const height = upright ? 480 : room.top + room.bottom + (shown.length - 1) * 76;
    if (box.style.height !== height + "px") { box.style.height = height + "px"; c.resize(); }
    // Ranges on the axes fade what lies outside, but for the two designs that
    // are marked.
    const line = (i, style) => ({ value: shown.map((k) => data.axes[k].values[i]), design: i, lineStyle: style });
    const style = (i) => within(i) ? { color: colours.design, width: 1.2, opacity: 0.55 } : { color: colours.faint, width: 1, opacity: 0.12 };
    const marked = { knee: { color: colours.ink, width: 2.5, type: "dashed", opacity: 1 }, chosen: { color: colours.chosen, width: 4, opacity: 1 } };
    const others = data.designs.map((_, i) => i).filter((i) => i !== chosen && i !== data.knee).sort((a, b) => within(a) - within(b));
    const series = (lines, active, inactive) => ({ type: "parallel", smooth: false, activeOpacity: active, inactiveOpacity: inactive, emphasis: { disabled: true }, data: lines });
    // A heading has the room between two axes, less than a dozen letters.
    const wrap = (s) => upright ? s.replace(/(.{6,}?|at (?:least|most)) /g, "$1\n") : s;
    const edged = { textBorderColor: colours.ground, textBorderWidth: 3 };
    const axes = shown.map((k, dim) => {
      const axis = data.axes[k], [min, max] = extent(axis);
      const parts = [wrap(axis.name), axis.unit, axis.sense ? axis.sense.split(" ")[0] : "", axis.limit ? wrap(axis.limit.replace(" either way", "")) : ""];
      return {
        id: "a" + dim, dim, min, max, name: parts.filter((part) => part).join(upright ? "\n" : ", "),
        nameLocation: upright ? "end" : "start", nameGap: upright ? 12 : 8,
        nameTextStyle: upright ? { color: colours.ink, fontSize: 12, lineHeight: 14, align: "center", ...edged } : { color: colours.ink, fontSize: 12, ...edged, align: "left", verticalAlign: "bottom", padding: [0, 0, 14, 8] },
        axisLine: { lineStyle: { color: colours.faint } }, axisTick: { lineStyle: { color: colours.faint } },
        axisLabel: { color: colours.ink, fontSize: 11, ...edged, formatter: tickOf(axis), showMinLabel: false, showMaxLabel: false, hideOverlap: true },
        ...(axis.words ? { interval: 1 } : { splitNumber: 4 }),
      };
    });
    c.setOption({
      animation: false, textStyle: text(),
      parallel: {
        ...room, layout: upright ? "horizontal" : "vertical",
        parallelAxisDefault: { type: "value", realtime: false,
          areaSelectStyle: { width: 22, color: colours.design, opacity: 0.25, borderColor: colours.design, borderWidth: 1 } },
      },
      parallelAxis: axes,
      tooltip: { ...tooltip(), trigger: "item", formatter: (e) => e.data && e.data.design !== undefined ? tell(e.data.design) : "" },
      series: [
        series(others.map((i) => line(i, style(i))), 0.55, 0.12),
        series([...(data.knee >= 0 && data.knee !== chosen ? [line(data.knee, marked.knee)] : []), line(chosen, marked.chosen)], 1, 1),
      ],
      graphic: { elements: ticks(room, c.getWidth(), c.getHeight(), upright) },
    });
  }

  // The ticks of limits lie where the axes are laid out by the numbers above.
  function ticks(room, width, height, upright) {
    const elements = [];
    shown.forEach((k, n) => {
      const axis = data.axes[k], [min, max] = extent(axis);
      const along = n / Math.max(1, shown.length - 1);
      for (const [v] of limitsOf(axis)) {
        if (v < min || v > max) continue;
        const share = (v - min) / (max - min);
        const x = upright ? room.left + along * (width - room.left - room.right) : room.left + share * (width - room.left - room.right);
        const y = upright ? height - room.bottom - share * (height - room.top - room.bottom) : room.top + along * (height - room.top - room.bottom);
        elements.push({
          type: "line", silent: true, z: 20, style: { stroke: colours.ink, lineWidth: 3 },
          shape: upright ? { x1: x - 13, x2: x + 13, y1: y, y2: y } : { x1: x, x2: x, y1: y - 13, y2: y + 13 },
        });
      }
    });
    return elements;
  }

  // The flight of the chosen design.

  function drawFlight(id, rows, until) {
    const box = byId(id), flight = data.flights[chosen];
    if (!box) return; // a sweep's front has no trajectories
    if (!charts.has(id)) chart(box);
    const c = charts.get(id);
    const gap = 66, top = 50, each = rows.length === 2 ? 237 : 136;
    const height = top + rows.length * (each + gap) - 10;
    if (box.style.height !== height + "px") { box.style.height = height + "px"; c.resize(); }
    if (!flight || !flight.t) { c.clear(); return; }
    const last = until ? Math.min(until, flight.t.at(-1)) : flight.t.at(-1);
    let end = flight.t.findIndex((t) => t > last);
    if (end < 0) end = flight.t.length;
    // Words that would touch stand one above the other.
    const marks = flight.marks.filter((m) => m.t <= last).sort((a, b) => a.t - b.t);
    const crowded = (m, of) => {
      const at = of.indexOf(m);
      return at > 0 && (m.t - of[at - 1].t) / last * (c.getWidth() - 116) < 66 && !crowded(of[at - 1], of);
    };
    const grids = [], xs = [], ys = [], series = [];
    rows.forEach((row, n) => {
      grids.push({ left: 60, right: 56, top: top + n * (each + gap), height: each });
      xs.push({ gridIndex: n, type: "value", min: 0, max: last, ...scaleStyle(), splitLine: { show: false },
        axisLabel: { ...scaleStyle().axisLabel, showMaxLabel: false, formatter: tick },
        ...(n === rows.length - 1 ? { name: "time after release, s", nameLocation: "middle", nameGap: 26 } : {}) });
      ys.push({ gridIndex: n, type: "value", scale: true, min: row.min, splitNumber: 3, name: row.name, nameLocation: "end", nameGap: 28, ...scaleStyle(),
        axisLabel: { ...scaleStyle().axisLabel, formatter: tick }, nameTextStyle: { color: colours.ink, fontSize: 12, align: "left", padding: [0, 0, 0, -50] } });
      row.lines.forEach(([key, word, type], k) => {
        const values = flight[key];
        series.push({
          type: "line", name: word, xAxisIndex: n, yAxisIndex: n, symbol: "none", lineStyle: { color: k ? colours.ink : colours.chosen, type, width: 2 },
          itemStyle: { color: k ? colours.ink : colours.chosen },
          endLabel: { show: row.lines.length > 1, formatter: word, color: colours.ink },
          data: upTo(last, end, flight.t, values),
          markLine: k ? undefined : {
            silent: true, symbol: "none", lineStyle: { color: colours.faint, type: "dotted", width: 1 },
            label: { color: colours.ink, fontSize: 11, textBorderColor: colours.ground, textBorderWidth: 3 },
            data: [
              ...marks.filter((m) => row.marks.includes(m.word)).map((m, _, of) => ({ xAxis: m.t, label: { formatter: m.word, position: "end", distance: crowded(m, of) ? 15 : 3 } })),
              ...(row.limits || []).map(([v, word]) => ({ yAxis: v, lineStyle: dashed(1), label: { formatter: word + " " + number(v), position: "insideEndTop" } })),
            ],
          },
        });
      });
    });
    const units = Object.fromEntries(rows.flatMap((row) => row.lines.map(([, word, , unit]) => [word, unit])));
    c.setOption({
      animation: false, textStyle: text(), grid: grids, xAxis: xs, yAxis: ys, series,
      axisPointer: { link: [{ xAxisIndex: "all" }], lineStyle: { color: colours.faint } },
      tooltip: { ...tooltip(), trigger: "axis", formatter: (es) => es.length ? number(es[0].value[0]) + " s" +
        es.filter((e) => e.value[1] !== null).map((e) => "<br>" + e.seriesName + " " + number(e.value[1]) + " " + units[e.seriesName]).join("") : "" },
    }, true);
  }

  // The points before index end, and one at the time last.
  function upTo(last, end, times, values) {
    const points = times.slice(0, end).map((t, i) => [t, values[i]]);
    const [from, to] = [values[end - 1], values[end]];
    if (end < times.length && from !== null && to !== null) {
      points.push([last, from + (to - from) * (last - times[end - 1]) / (times[end] - times[end - 1])]);
    }
    return points;
  }

  function drawFlights() {
    const flight = data.flights[chosen];
    const margin = data.axes.find((a) => a.name === "margin");
    const near = margin ? limitsOf(margin) : [];
    drawFlight("flight", [
      { name: "height, m", min: 0, lines: [["height", "height", "solid", "m"]], marks: ["apogee"] },
      { name: "speed, m/s", min: 0, lines: [["speed", "speed", "solid", "m/s"]], marks: ["canopy opens"] },
    ]);
    drawFlight("thrust", [
      { name: "thrust, N", min: 0, lines: [["thrust", "thrust", "solid", "N"]], marks: ["guide ends", "water out", "gas out"] },
      { name: "mm from the nose tip", lines: [["cg", "CG", "solid", "mm"], ["cp", "CP", "dashed", "mm"]], marks: [] },
      { name: "margin, calibres", lines: [["margin", "margin", "solid", "cal"]], marks: ["guide ends"], limits: near },
    ], flight && flight.ends ? 1.5 * flight.ends : 1);
  }

  // Where the chosen design comes down under scatter.

  function drawLanding() {
    if (!data.landings) return;
    const { drift, speed, designs } = data.landings, of = designs[chosen];
    byId("landing-words").textContent = of.words;
    byId("landing-doubt").textContent = of.doubt;
    if (!charts.has("landing")) chart(byId("landing"));
    const c = charts.get("landing");
    if (!of.drift.length) { c.clear(); return; }
    const span = (axis, values) => {
      const all = [...values, ...limitsOf(axis).map(([v]) => v)];
      const low = Math.min(...all), high = Math.max(...all), room = (high - low) * 0.06 || 1;
      return [low - room, high + room];
    };
    const side = (axis, [min, max], nameGap) => ({ type: "value", min, max, name: label(axis), nameLocation: "middle", nameGap, ...scaleStyle(),
      axisLabel: { ...scaleStyle().axisLabel, showMinLabel: false, showMaxLabel: false, formatter: tick } });
    const across = span(drift, [...of.drift, 0]), up = span(speed, of.speed);
    const edged = { color: colours.ink, fontSize: 11, textBorderColor: colours.ground, textBorderWidth: 3 };
    const line = (key, axis) => limitsOf(axis).map(([v, word]) => ({ [key]: v, label: { position: "insideEndTop", formatter: word + " " + number(v) } }));
    c.setOption({
      animation: false, textStyle: text(), grid: { left: 56, right: 16, top: 24, bottom: 48 },
      xAxis: side(drift, across, 28), yAxis: side(speed, up, 40),
      tooltip: { ...tooltip(), trigger: "item", formatter: (e) => e.seriesIndex ? "" : [drift, speed].map((axis, k) =>
        echarts.format.encodeHTML(axis.name + " " + number(e.value[k]) + " " + axis.unit)).join("<br>") },
      series: [
        { type: "scatter", symbol: "circle", symbolSize: 7, itemStyle: { color: colours.chosen, opacity: 0.7 }, data: of.drift.map((v, i) => [v, of.speed[i]]),
          markLine: { silent: true, symbol: "none", lineStyle: dashed(1), label: edged, data: [...line("xAxis", drift), ...line("yAxis", speed)] } },
        { type: "scatter", silent: true, symbol: "rect", symbolSize: [3, 14], symbolOffset: [0, -7], itemStyle: { color: colours.ink }, data: [[0, up[0]]],
          label: { show: true, formatter: "pad", position: "right", ...edged } },
      ],
    }, true);
  }

  function drawHistory() {
    const box = byId("history");
    if (data.history.flights.length < 2) {
      byId("history-section").remove();
      return;
    }
    if (!charts.has("history")) {
      box.style.height = "19rem";
      chart(box);
    }
    charts.get("history").setOption({
      animation: false, textStyle: text(), grid: { left: 56, right: 24, top: 24, bottom: 48 },
      xAxis: { type: "value", name: "flights", nameLocation: "middle", nameGap: 28, ...scaleStyle(), axisLabel: { ...scaleStyle().axisLabel, formatter: tick } },
      yAxis: { type: "value", scale: true, max: 100, name: "hypervolume, %", nameLocation: "middle", nameGap: 40, ...scaleStyle() },
      tooltip: { ...tooltip(), trigger: "axis", formatter: (es) => es.length ? es[0].value[0] + " flights<br>" + number(es[0].value[1]) + " %" : "" },
      series: [{
        type: "line", symbol: "circle", symbolSize: 5, lineStyle: { color: colours.design, width: 2 }, itemStyle: { color: colours.design },
        data: data.history.flights.map((f, i) => [f, data.history.share[i]]),
      }],
    }, true);
  }

  // The table: one row takes the focus at a time, arrows move it.

  const rows = all("#table tbody tr");
  const visible = () => all("#table tbody tr:not([hidden])");
  const rowOf = (i) => rows[i];

  function focusable(row) {
    for (const r of rows) r.tabIndex = r === row ? 0 : -1;
  }

  function makeTable() {
    byId("table").setAttribute("role", "grid");
    for (const row of rows) {
      row.addEventListener("click", () => choose(Number(row.dataset.i)));
      row.addEventListener("keydown", (e) => {
        const list = visible(), at = list.indexOf(row);
        const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: list.length - 1, PageDown: Math.min(at + 10, list.length - 1), PageUp: Math.max(at - 10, 0) }[e.key];
        if (e.key === "Enter" || e.key === " ") choose(Number(row.dataset.i));
        else if (to === undefined) return;
        else if (list[to]) { focusable(list[to]); list[to].focus(); }
        e.preventDefault();
      });
      // Input that sends the letter by itself would scroll the page.
      row.addEventListener("keypress", (e) => e.preventDefault());
    }
    for (const head of all("#table thead th[data-sort]")) {
      const button = document.createElement("button");
      button.type = "button";
      button.append(...head.childNodes);
      head.append(button);
      button.addEventListener("click", () => sort(head));
    }
  }

  function sort(head) {
    const falling = head.getAttribute("aria-sort") === "ascending";
    const k = Number(head.dataset.sort);
    const value = (row) => k < 0 ? data.designs[row.dataset.i] : data.axes[k].values[row.dataset.i] ?? Infinity;
    for (const h of all("#table thead th[aria-sort]")) h.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", falling ? "descending" : "ascending");
    const sorted = [...rows].sort((a, b) => (value(a) - value(b)) * (falling ? -1 : 1) || a.dataset.i - b.dataset.i);
    document.querySelector("#table tbody").append(...sorted);
  }

  // A change of what is shown.

  function narrow() {
    let left = 0;
    rows.forEach((row, i) => {
      row.hidden = !within(i);
      if (!row.hidden) left++;
    });
    for (const out of all(".count")) out.textContent = ranges.size ? left + " of " + count + " designs in the ranges" : "all " + count + " designs";
    for (const button of all(".clear")) button.disabled = !ranges.size;
    if (!visible().some((row) => row.tabIndex === 0)) focusable(visible()[0]);
    drawFront();
  }

  function clear() {
    for (const pair of pairs) charts.get("scatter-" + pair.join("-")).dispatchAction({ type: "brush", areas: [] });
    ranges.clear();
    // Axes forget their ranges only when they are made anew.
    if (charts.has("parallel")) charts.get("parallel").clear();
    narrow();
  }

  function choose(i) {
    chosen = i;
    rows.forEach((row, k) => row.setAttribute("aria-selected", k === i));
    focusable(rowOf(i));
    for (const out of all(".number")) out.textContent = data.designs[i];
    byId("note").textContent = data.notes[i];
    byId("side").innerHTML = data.sides[i];
    if (byId("plane")) byId("plane").innerHTML = data.planes[i];
    for (const tr of all("tr[data-line]")) {
      const [g, k] = tr.dataset.line.split(" "), line = data.groups[g].lines[k];
      const cells = tr.querySelectorAll("td");
      cells[0].textContent = line.value[i];
      if (line.distance) cells[2].textContent = line.distance[i];
      if (line.chance) cells[3].textContent = line.chance[i];
    }
    drawFront();
    drawFlights();
    drawLanding();
  }

  function drawFront() {
    if (count < 2) return;
    pairs.forEach(drawScatter);
    if (shown.length > 1) drawParallel();
  }

  function drawAll() {
    readColours();
    if (count) { drawFront(); drawFlights(); drawLanding(); }
    drawHistory();
  }

  function begin() {
    readColours();
    if (count > 1) {
      pairs.forEach(makeScatter);
      if (shown.length > 1) makeParallel();
    }
    if (count < 2 || !pairs.length) byId("front").remove();
    if (count < 2 || shown.length < 2) byId("parallel-section").remove();
    if (count) {
      makeTable();
      choose(chosen);
      narrow();
    }
    drawHistory();
    for (const button of all(".clear")) button.addEventListener("click", clear);
    const box = byId("box");
    if (box) {
      // A finger that scrolls the page must not draw boxes.
      box.checked = matchMedia("(pointer: fine)").matches;
      box.addEventListener("change", () => useBoxes(box.checked));
      useBoxes(box.checked);
    }
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", drawAll);
    let width = document.documentElement.clientWidth, small = narrowScreen();
    addEventListener("resize", () => {
      if (document.documentElement.clientWidth === width) return;
      width = document.documentElement.clientWidth;
      for (const c of charts.values()) c.resize();
      // Axes that turn are made anew, and forget their ranges.
      if (small !== narrowScreen() && charts.has("parallel")) {
        charts.get("parallel").clear();
        if (ranges.delete("parallel")) narrow();
      }
      small = narrowScreen();
      drawAll();
    });
  }

  begin();
})();
