"use strict";
// Shows the mix of the point that is pointed at, and keeps the one that was pressed. All texts go in as text.
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const made = (name, parent, text) => {
    const element = document.createElement(name);
    if (text !== undefined) element.textContent = text;
    parent.append(element);
    return element;
  };
  const table = (parent, caption, figures) => {
    const table = made("table", parent);
    made("caption", table, caption);
    const body = made("tbody", table);
    for (const figure of figures) {
      const row = made("tr", body);
      made("th", row, figure.name).scope = "row";
      made("td", row, figure.text).className = "number";
    }
  };
  for (const { chart, points } of data.points) {
    const drawing = document.getElementById(chart);
    const place = document.getElementById(chart + "-chosen");
    const buttons = [...drawing.querySelectorAll("[data-point]")];
    let pressed = null;
    const show = (button) => {
      const point = points[Number(button.dataset.point)];
      place.replaceChildren();
      place.dataset.point = button.dataset.point;
      made("h3", place, point.name);
      if (point.state !== "") made("p", place, point.state);
      const sides = made("div", place);
      sides.className = "sides";
      table(made("div", sides), "Mix", point.mix);
      table(made("div", sides), "Figures", point.figures);
      if (point.binding.length > 0) made("p", place, "Stands at: " + point.binding.join(", ") + ".");
    };
    const press = (button) => {
      if (pressed !== null) pressed.setAttribute("aria-pressed", "false");
      pressed = button;
      button.setAttribute("aria-pressed", "true");
      show(button);
    };
    for (const button of buttons) {
      button.addEventListener("click", () => press(button));
      button.addEventListener("keydown", (event) => {
        const at = buttons.indexOf(button);
        const next = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: buttons.length - 1 }[event.key];
        if (event.key === "Enter" || event.key === " ") press(button);
        else if (next !== undefined && buttons[next] !== undefined) buttons[next].focus();
        else return;
        event.preventDefault();
      });
      button.addEventListener("mouseenter", () => show(button));
      button.addEventListener("mouseleave", () => { if (pressed !== null) show(pressed); });
    }
  }
  // The reader chooses which properties the bars of changes show: the rows of the others are left out of every chart.
  const choice = document.getElementById("properties");
  const charts = [...document.querySelectorAll("svg[id^='change-']")];
  const rowsOf = (chart) => [...chart.querySelectorAll(".row")];
  const left = new Set();
  const draw = () => {
    for (const chart of charts) {
      const below = chart.querySelector(".below");
      const [height, top] = [Number(below.dataset.row), Number(below.dataset.top)];
      let gone = 0;
      for (const row of rowsOf(chart)) {
        const out = left.has(row.dataset.name);
        row.setAttribute("display", out ? "none" : "inline");
        row.setAttribute("transform", `translate(0 ${-gone * height})`);
        if (out) gone += 1;
      }
      const share = 1 - gone / rowsOf(chart).length;
      below.setAttribute("transform", `translate(0 ${-gone * height})`);
      for (const lines of chart.querySelectorAll(".lines")) lines.setAttribute("transform", `translate(0 ${top}) scale(1 ${share}) translate(0 ${-top})`);
      const whole = Number(chart.dataset.height ?? chart.getAttribute("height"));
      chart.dataset.height = whole;
      chart.setAttribute("height", whole - gone * height);
      chart.setAttribute("viewBox", `0 0 ${chart.getAttribute("width")} ${whole - gone * height}`);
    }
  };
  if (choice !== null && charts.length > 0) {
    for (const name of new Set(charts.flatMap((chart) => rowsOf(chart).map((row) => row.dataset.name)))) {
      const label = made("label", choice);
      const box = made("input", label);
      box.type = "checkbox";
      box.checked = true;
      made("span", label, name);
      box.addEventListener("change", () => {
        if (box.checked) left.delete(name);
        else left.add(name);
        draw();
      });
    }
    choice.hidden = false;
  }
})();
