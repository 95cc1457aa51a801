"use strict";
// What the scripts of all pages have in common: the page's data, its colours, and
// the look of charts.

const data = JSON.parse(document.getElementById("data").textContent);
const byId = (id) => document.getElementById(id);
const all = (selector) => [...document.querySelectorAll(selector)];
document.documentElement.classList.add("js");

const label = (axis) => axis.name + (axis.unit ? ", " + axis.unit : "");
const number = (v) => Math.abs(v) >= 1000 ? String(Number(v.toPrecision(3))) : v === 0 ? "0" : v.toPrecision(3);
const tick = (v) => String(Number(v.toPrecision(5)));

let colours;

function readColours() {
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue("--" + name).trim();
  const list = (name) => { const found = []; while (of(name + "-" + (found.length + 1))) found.push(of(name + "-" + (found.length + 1))); return found; };
  colours = { ground: of("ground"), panel: of("panel"), ink: of("ink"), faint: of("faint"), line: of("line"), design: of("design"), chosen: of("chosen"),
    series: list("series"), ramp: list("ramp") };
}

const text = () => ({ color: colours.ink, fontFamily: "system-ui, sans-serif" });
const scaleStyle = () => ({
  nameTextStyle: { color: colours.ink, fontSize: 12 },
  axisLine: { show: true, onZero: false, lineStyle: { color: colours.faint } },
  axisTick: { show: true },
  axisLabel: { color: colours.faint, hideOverlap: true },
  splitLine: { lineStyle: { color: colours.line, opacity: 0.6 } },
});
const tooltip = () => ({
  confine: true, backgroundColor: colours.panel, borderColor: colours.line, textStyle: { color: colours.ink, fontSize: 13 },
});
const dashed = (width) => ({ color: colours.ink, type: "dashed", width });

const charts = new Map();

function chart(box) {
  const c = echarts.init(box, null, { renderer: "svg" });
  charts.set(box.id, c);
  return c;
}
