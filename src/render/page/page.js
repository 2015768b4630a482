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
})();
