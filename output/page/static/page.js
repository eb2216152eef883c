"use strict";
// The page of one shop. What is chosen stands in the address behind #, so that a link holds it; every
// change asks the server for picture and first figures, then for settled ones.

const at = (id) => document.getElementById(id);
const steps = { done: [], undone: [] };
let chosen = new URLSearchParams(location.hash.slice(1)); // what the address holds, or soon will
let answer = null; // the last form that the server gave, with its faults
let asked = "", answered = ""; // the states that it is, or will be, asked about, and that it answered last
let busy = false; // first figures are under way
let rest = new AbortController(); // of what follows first figures
let curve = null;

const state = () => new URLSearchParams(chosen);

// choose takes a new state. The address follows when changes pause: browsers bear few changes of it.
let writing;
function choose(next) {
	chosen = next;
	clearTimeout(writing);
	writing = setTimeout(() => history.replaceState(null, "", "#" + chosen), 100);
}

// go takes a new state; a step may be undone.
function go(next, step = true) {
	const now = state().toString();
	if (next.toString() === now) return;
	if (step) {
		steps.done.push(now);
		steps.undone.length = 0;
	}
	choose(next);
	say("");
	ask();
}

function change(key, value, saved, step) {
	const next = state();
	if (value === saved) next.delete(key);
	else next.set(key, value);
	const [kind, , name] = key.split(".");
	if (kind === "size") next.set("field", name);
	go(next, step);
}

function undo() {
	if (!steps.done.length) return;
	steps.undone.push(state().toString());
	go(new URLSearchParams(steps.done.pop()), false);
}

function redo() {
	if (!steps.undone.length) return;
	steps.done.push(state().toString());
	go(new URLSearchParams(steps.undone.pop()), false);
}

// ask shows what comes first, then the rest, then what is settled. A newer change ends what is under way
// but for what comes first: that is soon there, and a slider that moves shows what it passes.
async function ask() {
	asked = state().toString();
	stopCurve();
	rest.abort();
	at("state").textContent = "working …";
	if (busy) return;
	busy = true;
	let coming;
	try {
		do {
			if (coming) coming.end.abort();
			coming = await first();
		} while (answered !== asked);
	} catch (err) {
		at("state").textContent = "no answer";
		say(err.message);
		return;
	} finally {
		busy = false;
	}
	if (answer.faults.length) at("state").textContent = "not possible so";
	else follow(coming);
}

// first asks for picture, figures and sheets, and shows them until all that is in view is there. It
// returns what is still to come, and how to end that.
async function first() {
	const about = asked, view = inView(), end = new AbortController();
	let figures = false;
	const more = lines("work?" + query(view), end.signal);
	for (let next; !(next = await more.next()).done;) {
		const line = next.value;
		answered = about;
		show(line, view);
		figures ||= !!line.figures;
		if (line.figures) for (const n of view) if (n >= line.figures.patterns) view.delete(n);
		if (line.sheet) view.delete(line.sheet.at);
		if (line.picture) view.delete("picture");
		if (figures && !view.size) {
			at("state").textContent = "provisional";
			break;
		}
	}
	return { more, end };
}

// follow shows the rest, and settles once changes have paused.
async function follow({ more, end }) {
	const { signal } = rest = end;
	try {
		await painted();
		for await (const line of more) show(line);
		await showWaiting(signal);
		await pause(300);
		const view = inView();
		for await (const line of lines("work?settle=yes&" + query(view), signal)) show(line, view);
		await showWaiting(signal);
		at("state").textContent = "settled";
	} catch (err) {
		if (err.name === "AbortError") return;
		at("state").textContent = "not settled";
		say(err.message);
	}
}

const pause = (ms) => new Promise((pass) => setTimeout(pass, ms));

// query is the state, how many millimetres wide drawings may be, and whether the picture and which sheets are wanted first.
function query(view) {
	const q = state();
	if (view.size) q.set("view", [...view].join());
	q.set("width", Math.floor((width - 12) * 25.4 / 96));
	return q.toString();
}

// How wide drawings are, and whether the picture and which sheets are in view: to ask the browser for it would have it lay out
// all that has just changed.
let width = at("cabinet-drawing").clientWidth;
new ResizeObserver(() => { width = at("cabinet-drawing").clientWidth; }).observe(at("cabinet-drawing"));
const seen = new Set();
const sight = new IntersectionObserver((entries) => {
	for (const { target, isIntersecting } of entries) if (isIntersecting) seen.add(target); else seen.delete(target);
});
sight.observe(at("picture"));
const inView = () => new Set([...(seen.has(at("picture")) ? ["picture"] : []), ...[...at("diagrams").children].flatMap((sheet, i) => (seen.has(sheet) ? i : []))]);

// lines gives an answer line by line, each as it comes.
async function* lines(address, signal) {
	const response = await fetch(address, { signal });
	if (!response.ok) await read(response);
	const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
	for (let begun = ""; ;) {
		const { done, value } = await reader.read();
		if (done) return;
		const all = (begun + value).split("\n");
		begun = all.pop();
		for (const line of all) yield JSON.parse(line);
	}
}

async function read(response) {
	const data = await response.json().catch(() => ({ fault: "the server gave no answer that can be read" }));
	if (!response.ok) throw new Error(data.fault);
	return data;
}

function say(text) { at("message").textContent = text; }

// make returns an element with properties and children.
function make(tag, properties = {}, ...children) {
	const e = document.createElement(tag);
	for (const [name, value] of Object.entries(properties)) {
		if (name.startsWith("aria-") || name === "for") e.setAttribute(name, value);
		else e[name] = value;
	}
	e.append(...children);
	return e;
}

// show shows what a line of an answer brings; of the sheets, those in view.
function show({ form, faults = [], picture, figures, sheet, fault }, view = new Set()) {
	if (fault) throw new Error(fault);
	if (form) {
		answer = { form, faults };
		for (const part of ["figures", "picture", "lists"]) at(part).classList.toggle("stale", faults.length > 0);
		if (faults.length) at("brief").textContent = "";
		showForm(form);
		showFaults(faults);
	}
	if (picture) {
		draw(at("cabinet-drawing"), picture.cabinet);
		draw(at("plan-drawing"), picture.plan);
	}
	if (figures) showFigures(figures);
	if (sheet) {
		waiting.set(sheet.at, sheet);
		if (view.has(sheet.at)) drawSheet(sheet);
	}
}

let parts = null;
function showFigures(f) {
	const sheets = at("diagrams").children;
	while (sheets.length > f.patterns) at("diagrams").lastChild.remove();
	while (sheets.length < f.patterns) sight.observe(at("diagrams").appendChild(make("div", { className: "drawing", tabIndex: 0, role: "group" })));
	waiting.clear();
	at("state").classList.toggle("provisional", !f.settled);
	at("quick").textContent = f.settled ? "Settled figures: those that cut prints." : "First figures, found at a quick look; settled ones follow.";
	at("brief").textContent = f.sums.rows.filter(([name]) => /^(sheets|mass|cost|findings)/.test(name)).map(brief).join(" · ");
	fill("sums", f.sums);
	fill("changed", f.changed, "No part differs.");
	fill("lines", f.lines);
	fill("sheets", f.sheets);
	parts = f.parts;
	showParts();
	showFindings(f.findings || []);
}

// showParts lists all parts while somebody looks at them.
function showParts() {
	if (at("all-parts").open) fill("parts", parts);
}

// brief says a figure, and by how much it differs from the file.
function brief([name, , now, more]) {
	return name.replace(/^(cost|mass), /, "") + " " + now + (+more ? " (" + (+more > 0 ? "+" : "") + more + ")" : "");
}

// Sheets that are not in view wait, for a browser takes longer to draw them all than a change may.
const waiting = new Map();
function drawSheet({ at: n, name, svg }) {
	waiting.delete(n);
	const figure = at("diagrams").children[n];
	figure.setAttribute("aria-label", name);
	draw(figure, svg);
}

// showWaiting draws the sheets that wait, one at a time.
async function showWaiting(signal) {
	for (const sheet of waiting.values()) {
		await pause(0);
		signal.throwIfAborted();
		drawSheet(sheet);
	}
}

const painted = () => new Promise((pass) => requestAnimationFrame(() => setTimeout(pass)));

// draw puts an SVG in place, where it is another than before.
const drawn = new WeakMap();
function draw(into, svg) {
	if (drawn.get(into) === svg) return;
	drawn.set(into, svg);
	place(into, svg);
}

// place puts an SVG in place. As HTML it is read in less than half the time that it takes as XML.
function place(into, svg) {
	into.replaceChildren(new DOMParser().parseFromString(svg, "text/html").body.firstChild);
}

// fill shows a table, or why there is none.
const filled = {};
function fill(id, list, none = "") {
	const now = JSON.stringify(list);
	if (filled[id] === now) return;
	filled[id] = now;
	if (!list || !list.rows || !list.rows.length) {
		at(id).replaceChildren(make("p", {}, none));
		return;
	}
	const side = (i) => (list.right[i] ? "r" : "");
	const head = make("tr", {}, ...list.heads.map((text, i) => make("th", { scope: "col", className: side(i) }, text)));
	const rows = list.rows.map((row) => make("tr", {}, ...row.map((text, i) => make("td", { className: side(i) }, text))));
	at(id).replaceChildren(make("div", { className: "scroll", tabIndex: 0, "aria-label": list.title },
		make("table", {}, make("caption", {}, list.title), make("thead", {}, head), make("tbody", {}, ...rows))));
}

function showFindings(findings) {
	const items = findings.map((f) => make("li", { className: f.level + (f.fresh ? " fresh" : "") },
		make("b", {}, f.level + (f.fresh ? ", new" : "") + ": "), f.where + ": " + f.text, make("br"), f.do));
	at("findings").replaceChildren(...(items.length ? items : [make("li", {}, "none")]));
	const here = findings.filter((f) => f.fresh && f.here).map((f) => f.level + ": " + f.text).join("; ");
	for (const s of answer.form.sizes) at("fault-" + s.name).textContent = s.name === state().get("field") ? here : "";
}

// showForm makes the form where it is for another cabinet, and sets its values.
let shape = "";
function showForm(f) {
	at("shop").textContent = f.shop + ": " + f.layout;
	document.title = f.layout + " · " + f.cabinet + " · sawbook";
	at("about").textContent = f.about;
	choices(at("layout"), f.layouts.map((name) => [name, name]), f.layout);
	choices(at("cabinet"), f.cabinets.map((c) => [c.name, c.name + ", a " + c.kind]), f.cabinet);
	at("print").href = "print?" + state();
	const now = JSON.stringify([f.layout, f.cabinet, f.options, f.sizes.map((s) => [s.name, s.least, s.most]), f.roles.map((r) => r.name)]);
	if (now !== shape) {
		shape = now;
		showOptions(f.options || []);
		at("sizes").replaceChildren(make("legend", {}, "Sizes"), ...f.sizes.map((s, i) => sizeField(f.cabinet, s, i && f.sizes[i - 1].about === s.about ? "" : s.about)));
		at("roles").replaceChildren(make("legend", {}, "Roles"),
			make("div", { className: "role" }, make("span"), make("span", { id: "of-material" }, "material"), make("span", { id: "of-edges" }, "edges")), ...f.roles.map((r) => roleField(f.cabinet, r)));
	}
	for (const s of f.sizes) setSize(f.cabinet, s);
	for (const r of f.roles) setRole(f.cabinet, r);
	at("undo").disabled = !steps.done.length;
	at("redo").disabled = !steps.undone.length;
	const changes = [...state().keys()].filter((key) => /^(size|role)\./.test(key)).length;
	at("save").disabled = !changes || answer.faults.length > 0;
	at("reset").disabled = !changes;
	at("trend-of").textContent = f.cabinet + "." + (field() || "a size");
	at("draw-curve").disabled = !field();
}

function choices(select, list, chosen) {
	const text = JSON.stringify(list);
	if (select.dataset.list !== text) {
		select.dataset.list = text;
		select.replaceChildren(...list.map(([value, words]) => make("option", { value }, words)));
	}
	select.value = chosen;
}

function showOptions(options) {
	at("options").classList.toggle("none", !options.length);
	at("options").replaceChildren(make("legend", {}, "Options"), ...options.map((o) => {
		const box = make("input", { type: "checkbox", checked: o.chosen, id: "option-" + o.name });
		box.addEventListener("change", () => {
			const next = state(), others = next.getAll("option").filter((name) => name !== o.name);
			next.delete("option");
			for (const name of box.checked ? [...others, o.name] : others) next.append("option", name);
			go(next);
		});
		return make("label", { className: "option", for: box.id }, box, " " + o.name + (o.about ? ": " + o.about : ""));
	}));
}

const sizeKey = (cabinet, name) => "size." + cabinet + "." + name;

// field is the size in hand.
function field() {
	const name = state().get("field");
	return answer && answer.form.sizes.some((s) => s.name === name) ? name : "";
}

function sizeField(cabinet, s, about) {
	const id = "size-" + s.name, key = sizeKey(cabinet, s.name);
	const text = make("input", { type: "text", inputMode: s.fraction ? "text" : "decimal", id, "aria-describedby": "hint-" + s.name + " fault-" + s.name });
	const range = make("input", { type: "range", min: s.from, max: s.to, step: s.step, id: id + "-range", "aria-label": s.name + ", slider" });
	let moving = false; // one move of the slider is one step back
	const take = (value, step) => change(key, value.trim(), answer.form.sizes.find((z) => z.name === s.name).saved, step);
	text.addEventListener("input", () => { text.dataset.typing = ""; });
	text.addEventListener("change", () => {
		delete text.dataset.typing;
		take(text.value);
	});
	text.addEventListener("focus", () => hold(s.name));
	text.addEventListener("keydown", (e) => {
		const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[e.key];
		if (!by) return;
		e.preventDefault();
		delete text.dataset.typing;
		range.value = +range.value + by * s.step;
		text.value = printed(+range.value, s);
		take(text.value);
	});
	range.addEventListener("input", () => {
		text.value = printed(+range.value, s);
		take(text.value, !moving);
		moving = true;
	});
	range.addEventListener("change", () => { moving = false; });
	return make("div", { className: "size", id: "row-" + s.name }, make("label", { for: id }, s.name), range, text,
		make("p", { className: "hint", id: "hint-" + s.name }, (about ? about + ": " : "") + s.least + " to " + s.most + (s.unit ? " " + s.unit : "")),
		make("p", { className: "fault", id: "fault-" + s.name }));
}

// printed writes a number as the shop prints lengths.
function printed(value, s) {
	if (!s.fraction) return String(Math.round(value * 100) / 100);
	let parts = Math.round(value * s.fraction), whole = Math.floor(parts / s.fraction), under = s.fraction;
	parts -= whole * s.fraction;
	if (!parts) return String(whole);
	while (parts % 2 === 0) { parts /= 2; under /= 2; }
	return (whole ? whole + " " : "") + parts + "/" + under;
}

// hold takes a size in hand: the curve is about it.
function hold(name) {
	const next = state();
	next.set("field", name);
	choose(next);
	at("trend-of").textContent = (answer ? answer.form.cabinet : "") + "." + name;
	at("draw-curve").disabled = false;
}

function setSize(cabinet, s) {
	const text = at("size-" + s.name), range = at("size-" + s.name + "-range");
	const given = state().get(sizeKey(cabinet, s.name));
	if (!("typing" in text.dataset)) text.value = given === null ? s.value : given;
	if (answered === asked) range.value = s.at;
	at("row-" + s.name).classList.toggle("changed", given !== null && given !== s.saved);
	if (text.hasAttribute("aria-invalid")) {
		at("fault-" + s.name).textContent = "";
		text.removeAttribute("aria-invalid");
	}
}

function roleField(cabinet, r) {
	const pick = (of, list, words) => {
		const select = make("select", { id: "role-" + r.name + "-" + of, "aria-labelledby": "label-" + r.name + " of-" + of });
		choices(select, list, r[of]);
		select.addEventListener("change", () => change("role." + cabinet + "." + r.name + "." + of, select.value, answer.form.roles.find((z) => z.name === r.name).saved[of]));
		return select;
	};
	return make("div", { className: "role", id: "row-role-" + r.name }, make("label", { id: "label-" + r.name, for: "role-" + r.name + "-material" }, r.name),
		pick("material", r.materials.map((m) => [m.name, m.name])), pick("edges", (r.treatments.includes(r.edges) ? r.treatments : [r.edges, ...r.treatments]).map((t) => [t, t])),
		make("p", { className: "fault", id: "fault-role-" + r.name }));
}

function setRole(cabinet, r) {
	let differs = false;
	for (const of of ["material", "edges"]) {
		const given = state().get("role." + cabinet + "." + r.name + "." + of);
		at("role-" + r.name + "-" + of).value = given === null ? r[of] : given;
		differs = differs || given !== null;
	}
	at("row-role-" + r.name).classList.toggle("changed", differs);
	at("fault-role-" + r.name).textContent = "";
}

function showFaults(faults) {
	for (const f of faults) {
		const [kind, cabinet, name] = f.field.split(".");
		const into = cabinet === answer.form.cabinet && at((kind === "role" ? "fault-role-" : "fault-") + name);
		if (into) into.textContent = f.text;
		else say(f.field + ": " + f.text);
		const text = at("size-" + name);
		if (into && kind === "size" && text) text.setAttribute("aria-invalid", "true");
	}
}

function drawCurve() {
	stopCurve();
	at("progress").hidden = at("stop-curve").hidden = false;
	at("progress").removeAttribute("value");
	at("stop-curve").focus();
	curve = new EventSource("curve?" + state());
	curve.addEventListener("progress", (e) => {
		const p = JSON.parse(e.data);
		at("progress").max = p.of;
		at("progress").value = p.done;
	});
	curve.addEventListener("curve", (e) => {
		const c = JSON.parse(e.data);
		place(at("curve"), c.svg);
		at("curve-words").replaceChildren(...(c.words || []).map((text) => make("li", {}, text)));
		stopCurve();
	});
	curve.addEventListener("fault", (e) => { say(JSON.parse(e.data).fault); stopCurve(); });
	curve.onerror = () => { say("there is no curve of this"); stopCurve(); };
}

function stopCurve() {
	if (curve) curve.close();
	curve = null;
	if (document.activeElement === at("stop-curve")) at("draw-curve").focus();
	at("progress").hidden = at("stop-curve").hidden = true;
}

async function post(address, extra) {
	const body = state();
	for (const [name, value] of Object.entries(extra)) body.set(name, value);
	return read(await fetch(address, { method: "POST", body }));
}

async function save() {
	try {
		const done = await post("save", { digest: answer.form.digest });
		const next = state();
		for (const key of [...next.keys()]) if (/^(size|role)\./.test(key)) next.delete(key);
		go(next);
		say("Saved to " + done.file + ".");
	} catch (err) { say(err.message); }
}

at("layout").addEventListener("change", () => go(new URLSearchParams({ layout: at("layout").value })));
at("cabinet").addEventListener("change", () => {
	const next = state();
	next.set("cabinet", at("cabinet").value);
	next.delete("field");
	go(next);
});
at("undo").addEventListener("click", undo);
at("redo").addEventListener("click", redo);
at("save").addEventListener("click", save);
at("reset").addEventListener("click", () => {
	const next = state();
	for (const key of [...next.keys()]) if (/^(size|role)\./.test(key)) next.delete(key);
	go(next);
});
at("draw-curve").addEventListener("click", drawCurve);
at("stop-curve").addEventListener("click", stopCurve);
at("form").addEventListener("submit", (e) => e.preventDefault());
at("new").addEventListener("submit", async (e) => {
	e.preventDefault();
	try {
		const done = await post("cabinet", { name: at("name").value });
		say("Saved as cabinets/" + done.file + ".");
	} catch (err) { say(err.message); }
});
addEventListener("keydown", (e) => {
	if (!(e.ctrlKey || e.metaKey) || e.altKey || e.target === at("name") || e.target.dataset && "typing" in e.target.dataset) return; // what is typed is undone by the browser
	const key = e.key.toLowerCase();
	if (key === "z" && !e.shiftKey) { e.preventDefault(); undo(); }
	if (key === "y" || key === "z" && e.shiftKey) { e.preventDefault(); redo(); }
});
at("all-parts").addEventListener("toggle", showParts);
addEventListener("hashchange", () => {
	chosen = new URLSearchParams(location.hash.slice(1));
	ask();
});
ask();
