/* The web phone's script: news as they come, texts without a reload, a clock that goes on. */
"use strict";

const page = document.body.dataset;
const texts = document.getElementById("texts");
const body = document.getElementById("body");
const counter = document.getElementById("counter");
const trouble = document.getElementById("trouble");
const time = document.getElementById("time");

/* -- septets and segments, as a gateway counts them ----------------------------------------- */

const one = new Set(page.one);
const two = new Set(page.two);

function counted(text) {
  const letters = Array.from(text);
  const gsm = letters.every((letter) => one.has(letter) || two.has(letter));
  const units = letters.map((letter) => (gsm ? (two.has(letter) ? 2 : 1) : letter.length));
  const [alone, inAChain] = gsm ? [160, 153] : [70, 67];
  const sum = units.reduce((all, unit) => all + unit, 0);
  if (sum <= alone) return { sum, room: alone, segments: 1 };
  let segments = 1;
  let left = inAChain;
  for (const unit of units) {
    if (unit > left) {
      segments += 1;
      left = inAChain;
    }
    left -= unit;
  }
  return { sum, room: alone, segments };
}

function count() {
  const { sum, room, segments } = counted(body.value.trim());
  counter.textContent = `${sum}/${room}` + (segments > 1 ? `, ${segments} SMS` : "");
}

/* -- the clock, between two looks at it ------------------------------------------------------ */

const DAY = 24 * 60 * 60 * 1000;
let shown = { milliseconds: Number(time.dataset.milliseconds), rate: time.dataset.rate, since: performance.now() };

function tick() {
  const passed = (performance.now() - shown.since) * parseInt(shown.rate, 10);
  const now = new Date((shown.milliseconds + passed) % DAY);
  time.textContent = now.toISOString().slice(11, 19);
}

function show(parts) {
  shown = { ...parts.clock, since: performance.now() };
  document.getElementById("day").textContent = parts.clock.day;
  document.querySelectorAll(".rates button").forEach((button) => {
    button.setAttribute("aria-pressed", String(button.value === parts.clock.rate));
  });
  document.getElementById("due").textContent = parts.due
    ? `${parts.due.at} ${parts.due.what}`
    : "no bell is set";
  document.querySelectorAll("[data-unread]").forEach((badge, place) => {
    badge.hidden = parts.unread[place] === 0;
    badge.firstElementChild.textContent = parts.unread[place];
  });
  document.getElementById("cycle").hidden = parts.cycle === null;
  document.getElementById("no-cycle").hidden = parts.cycle !== null;
  document.getElementById("device").textContent = parts.cycle ?? "";
  tick();
}

/* -- news ------------------------------------------------------------------------------------ */

function append(html) {
  const made = document.createElement("template");
  made.innerHTML = html;
  const fresh = Array.from(made.content.children).filter((line) => !document.getElementById(line.id));
  if (fresh.length === 0) return;
  const follows = texts.scrollHeight - texts.scrollTop - texts.clientHeight < 120;
  const mine = fresh.some((line) => line.classList.contains("typed"));
  texts.append(...fresh);
  document.getElementById("empty").hidden = true;
  if (follows || mine) texts.scrollTop = texts.scrollHeight;
}

const later = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

async function listen() {
  let after = Number(page.after);
  for (;;) {
    try {
      const answer = await fetch(`/news?phone=${page.phone}&after=${after}`);
      if (!answer.ok) throw new Error(answer.statusText);
      const news = await answer.json();
      after = news.last;
      append(news.lines);
      show(news);
      trouble.textContent = "";
    } catch {
      trouble.textContent = "The demo does not answer. Is it still running?";
      await later(2000);
    }
  }
}

/* -- what is sent ---------------------------------------------------------------------------- */

async function post(form, button) {
  const answer = await fetch(form.action, {
    method: "POST",
    headers: { Accept: "application/json" },
    body: new URLSearchParams(new FormData(form, button)),
  });
  if (!answer.ok) throw new Error(answer.statusText);
  show(await answer.json());
}

document.getElementById("write").addEventListener("submit", async (event) => {
  event.preventDefault();
  const typed = body.value;
  if (!typed.trim()) return;
  const sent = post(event.target, event.submitter);
  body.value = "";
  body.focus();
  count();
  try {
    await sent;
  } catch {
    body.value = typed;
    count();
    trouble.textContent = "That text did not go. Send it again.";
  }
});

document.querySelector("[data-turns]").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    await post(event.target, event.submitter);
  } catch {
    trouble.textContent = "The clock did not move. Try again.";
  }
});

document.querySelectorAll("[data-word]").forEach((button) => {
  button.addEventListener("click", () => {
    body.value = button.dataset.word;
    count();
    body.focus();
  });
});

document.querySelectorAll("[data-key]").forEach((button) => {
  button.addEventListener("click", () => {
    body.value += button.dataset.key;
    count();
    body.focus();
  });
});

body.addEventListener("input", count);
setInterval(tick, 250);
texts.scrollTo({ top: texts.scrollHeight, behavior: "instant" });
count();
listen();
