// A click on one of the sheet's offers (a line to add, a reading to choose) is kept until an answer has taken it up.
// By itself it would go lost: the request of a field that was just left may be on its way, the click then waits
// behind it, a later change takes its place in the queue, and the answer writes the clicked button anew.
"use strict";
(() => {
  const OFFER = "#sheet button[name=add], #sheet button[name=choose], #sheet button[name=alike]";
  const waiting = [];
  let pressed = null;

  function offerOf(target) {
    return target instanceof Element ? target.closest(OFFER) : null;
  }

  // A reading belongs to a line as it was written when somebody chose it, wherever that line stands by then.
  function taken(button) {
    const [field, number] = button.value.split(":", 2);
    const was = document.getElementsByName(`was-${field}-${number}`)[0];
    return { name: button.name, value: button.value, was: was ? was.value : null };
  }

  function ask(click) {
    if (!waiting.some((one) => one.name === click.name && one.value === click.value)) waiting.push(click);
    htmx.trigger("#sheet", "offer");
  }

  function valueNow(click, form) {
    if (click.was === null) return click.value;
    const [field, number, ...line] = click.value.split(":");
    const asked = [...form.querySelectorAll(`input[name^="was-${field}-"]`)].filter((was) => was.value === click.was);
    const found = asked.find((was) => was.name === `was-${field}-${number}`) || asked[0];
    return found ? `${field}:${found.name.split("-")[2]}:${line.join(":")}` : null;
  }

  document.addEventListener("click", (event) => {
    const button = offerOf(event.target);
    if (!button) return;
    event.preventDefault();
    pressed = null;
    ask(taken(button));
  });

  // Where an answer writes the button anew between press and release, no click comes.
  document.addEventListener("pointerdown", (event) => {
    const button = event.isPrimary && event.button === 0 ? offerOf(event.target) : null;
    pressed = button && { button, click: taken(button), box: button.getBoundingClientRect() };
  });
  document.addEventListener("pointercancel", () => { pressed = null; });
  document.addEventListener("pointerup", (event) => {
    const { button, click, box } = pressed || {};
    pressed = null;
    if (!button || button.isConnected) return;
    const inside = event.clientX >= box.left && event.clientX <= box.right && event.clientY >= box.top && event.clientY <= box.bottom;
    const over = offerOf(event.target);
    if (inside || (over && over.value === click.value)) ask(click);
  });

  document.addEventListener("htmx:configRequest", (event) => {
    if (event.target.id !== "sheet") return;
    const data = event.detail.formData;
    data.delete("add");
    data.delete("choose");
    data.delete("alike");
    event.detail.clicks = [...waiting];
    for (const click of waiting) {
      const value = valueNow(click, event.target);
      if (value !== null) data.append(click.name, value);
    }
  });
  document.addEventListener("htmx:beforeOnLoad", (event) => {
    const { xhr, requestConfig } = event.detail;
    if (xhr.status === 429 || xhr.status >= 500) return; // not taken up: the next request carries it again
    for (const click of requestConfig.clicks || []) waiting.splice(waiting.indexOf(click), 1);
  });
})();
