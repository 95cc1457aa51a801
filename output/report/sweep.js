"use strict";
(() => {
  const { axes, planes, reasons, goals, feasibleOnly } = data;
  if (!planes.length) return;

  const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
  const letter = (k) => letters[k % letters.length];
  const across = byId("across"), up = byId("up");
  const escape = echarts.format.encodeHTML;

  // The plane that is shown: that of the two chosen quantities, turned where they
  // are chosen the other way round.
  function chosen() {
    const x = Number(across.value), y = Number(up.value);
    const plane = planes.find((p) => p.x === Math.min(x, y) && p.y === Math.max(x, y));
    const wide = axes[plane.x].words.length;
    const cell = plane.x === x ? (i, j) => j * wide + i : (i, j) => i * wide + j;
    return { plane, X: axes[x], Y: axes[y], cell };
  }

  const share = (plane, c) => plane.rows[c] ? Math.min(plane.kept[c] / plane.rows[c], 1) : null;

  function hardest(plane, c) {
    let at = -1, most = 0;
    plane.missed.forEach((of, k) => { if (of[c] > most) [at, most] = [k, of[c]]; });
    return at;
  }

  const percent = (v) => (100 * v > 0 && 100 * v < 0.05 ? "under 0.1" : (100 * v).toFixed(100 * v < 9.95 ? 1 : 0)) + " %";

  // What a cell says in words, a line each.
  function told({ plane, X, Y }, i, j, c) {
    const lines = [X.name + " " + X.words[i] + " " + X.unit, Y.name + " " + Y.words[j] + " " + Y.unit];
    if (share(plane, c) === null) return [...lines, "no flights"];
    lines.push(percent(share(plane, c)) + " within every limit" + (feasibleOnly ? ", about" : " of " + plane.rows[c] + " flights"));
    plane.missed.map((of, k) => [of[c], k]).filter(([n]) => n).sort((a, b) => b[0] - a[0]).slice(0, 4)
      .forEach(([n, k]) => lines.push(letter(k) + " forbids " + percent(n / plane.rows[c]) + ": " + reasons[k]));
    goals.forEach((goal, g) => { if (plane.best[g][c] !== null) lines.push("best " + goal.name + " " + number(plane.best[g][c]) + " " + goal.unit); });
    return lines;
  }

  // Black or white, whichever stands out more (WCAG 2.2, relative luminance).
  function on(hex) {
    const [r, g, b] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16) / 255).map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    const bright = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    return (bright + 0.05) / 0.05 > 1.05 / (bright + 0.05) ? "black" : "white";
  }

  function box(id, title) {
    let b = byId(id);
    if (!b) {
      const heading = document.createElement("h3");
      b = document.createElement("div");
      b.id = id;
      b.className = "chart";
      b.setAttribute("role", "img");
      const frame = document.createElement("div");
      frame.append(heading, b);
      byId("maps").append(frame);
      chart(b);
    }
    b.previousSibling.textContent = title;
    return charts.get(id);
  }

  // draw shows the cells that value gives a number; scale is how it is coloured.
  function draw(id, title, of, value, scale, letters) {
    const { X, Y, cell } = of;
    const c = box(id, title);
    byId(id).setAttribute("aria-label", title + " over " + X.name + " and " + Y.name + ". The table below holds the same numbers.");
    const points = [];
    Y.words.forEach((_, j) => X.words.forEach((_, i) => {
      const v = value(cell(i, j));
      if (v !== null) points.push({ value: [i, j, v], ...(letters ? letters(v, Math.min(560 / X.words.length, 220 / Y.words.length)) : {}) });
    }));
    const side = (axis, nameGap) => ({ type: "category", data: axis.marks, name: label(axis), nameLocation: "middle", nameGap, ...scaleStyle(), splitLine: { show: false },
      axisLabel: { ...scaleStyle().axisLabel, interval: Math.ceil(axis.marks.length / 6) - 1 }, axisTick: { show: false } });
    c.setOption({
      animation: false, textStyle: text(), grid: { left: 56, right: 12, top: 10, bottom: scale.bottom },
      xAxis: side(X, 26), yAxis: side(Y, 40),
      visualMap: scale.map,
      tooltip: { ...tooltip(), trigger: "item", formatter: (e) => told(of, e.value[0], e.value[1], cell(e.value[0], e.value[1])).map(escape).join("<br>") },
      series: [{ type: "heatmap", data: points, itemStyle: { borderColor: colours.ground, borderWidth: 0.5 }, emphasis: { itemStyle: { borderColor: colours.ink, borderWidth: 2 } } }],
    }, true);
  }

  // ramp colours numbers between two, which it names below the map.
  function ramp(low, high, words) {
    return { bottom: 92, map: { type: "continuous", min: low, max: high > low ? high : low + 1, orient: "horizontal", left: "center", bottom: 0, itemWidth: 12, itemHeight: 140, calculable: false,
      text: [words(high), words(low)], textStyle: { color: colours.ink }, inRange: { color: colours.ramp } } };
  }

  function drawMaps() {
    const of = chosen(), { plane } = of;
    const shares = plane.rows.map((_, c) => share(plane, c));
    draw("map-share", "Share within every limit", of, (c) => shares[c], ramp(0, Math.max(...shares), percent));
    if (!feasibleOnly) drawHardest(of);
    goals.forEach((goal, g) => {
      const best = plane.best[g].filter((v) => v !== null);
      draw("map-best-" + g, "Best " + goal.name + " within every limit" + (goal.unit ? ", " + goal.unit : ""), of, (c) => plane.best[g][c],
        ramp(Math.min(...best), Math.max(...best), (v) => Number.isFinite(v) ? number(v) : ""));
    });
    fillTable(of);
  }

  function drawHardest(of) {
    const { plane } = of;
    const at = plane.rows.map((n, c) => n ? hardest(plane, c) : null);
    const present = reasons.map((_, k) => k).filter((k) => at.includes(k));
    const paint = (k) => k < 0 ? colours.ramp[0] : colours.series[k % colours.series.length];
    const pieces = [...present, ...(at.includes(-1) ? [-1] : [])].map((k) => ({ value: k, label: k < 0 ? "nothing" : letter(k) + " " + reasons[k], color: paint(k) }));
    draw("map-hardest", "What forbids most", of, (c) => at[c],
      { bottom: 56 + 18 * pieces.length, map: { type: "piecewise", pieces, orient: "vertical", left: 50, bottom: 0, itemWidth: 12, itemHeight: 12, itemGap: 6, textStyle: { color: colours.ink, fontSize: 11 } } },
      (k, room) => ({ label: { show: k >= 0, formatter: letter(k), color: on(paint(k)), fontSize: Math.max(8, Math.min(12, room)) } }));
    byId("map-hardest").style.height = 304 + Math.max(0, 18 * (pieces.length - 2)) + "px";
    charts.get("map-hardest").resize();
  }

  function fillTable(of) {
    const { plane, X, Y, cell } = of;
    const row = (kind, head, cells) => {
      const tr = document.createElement("tr");
      const th = document.createElement(head ? "th" : "td");
      if (head) th.scope = "row";
      th.textContent = head;
      tr.append(th, ...cells.map((words) => {
        const td = document.createElement(kind);
        if (kind === "th") td.scope = "col";
        td.textContent = words;
        return td;
      }));
      return tr;
    };
    const head = document.createElement("thead"), body = document.createElement("tbody"), caption = document.createElement("caption");
    caption.textContent = "Share within every limit" + (feasibleOnly ? "" : ", and what forbids most") + ": " + label(X) + ", across; " + label(Y) + ", down";
    head.append(row("th", "", X.words));
    Y.words.forEach((words, j) => body.append(row("td", words, X.words.map((_, i) => {
      const c = cell(i, j), k = hardest(plane, c);
      return share(plane, c) === null ? "-" : percent(share(plane, c)) + (k < 0 ? "" : " " + letter(k));
    }))));
    byId("cells").replaceChildren(caption, head, body);
  }

  // A choice of the same quantity twice turns into a swap.
  let last = [];
  function choose() {
    if (across.value === up.value) {
      if (across.value !== last[0]) up.value = last[0]; else across.value = last[1];
    }
    last = [across.value, up.value];
    readColours();
    drawMaps();
  }

  across.value = planes[data.first].x;
  up.value = planes[data.first].y;
  choose();
  across.addEventListener("change", choose);
  up.addEventListener("change", choose);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", choose);
  let width = document.documentElement.clientWidth;
  addEventListener("resize", () => {
    if (document.documentElement.clientWidth === width) return;
    width = document.documentElement.clientWidth;
    for (const c of charts.values()) c.resize();
  });
})();
