// Making elements: text is always set as text, so nothing that was spoken or typed can become markup.
export const $ = (id) => document.getElementById(id);

export const make = (tag, attributes = {}, ...children) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name in element && name !== "list" && typeof value !== "string") element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
};

export const clock = (seconds) => {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (n) => String(n).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  const rest = `${two(whole % 60)}`;
  return hours ? `${hours}:${two(Math.floor(whole / 60) % 60)}:${rest}` : `${Math.floor(whole / 60)}:${rest}`;
};

export const tell = (text) => {
  $("told").textContent = text;
  clearTimeout(tell.timer);
  tell.timer = setTimeout(() => { $("told").textContent = ""; }, 6000);
};

export const alarm = (text) => {
  $("alarm").textContent = text;
  $("alarm").hidden = !text;
};

export const button = (text, key, act, attributes = {}) => {
  const made = make("button", { type: "button", ...attributes }, text, key ? " " : null, key ? make("kbd", {}, key) : null);
  made.addEventListener("click", act);
  return made;
};
