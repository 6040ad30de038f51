"use strict";
// Answers are kept on this phone until the job has them; without this script every form works by itself.
(() => {
  const body = document.body, said = body.dataset, banner = document.getElementById("queue");
  const HOURS_OLD = 12, EVERY_MS = 30000, PATIENCE_MS = 8000;

  const made = Number(said.made);
  const tellAge = () => {
    if (Date.now() - made > HOURS_OLD * 3600000) document.getElementById("old").hidden = false;
  };
  tellAge();
  setInterval(tellAge, 60000);

  const newId = () => [...crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("");

  const store = new Promise((done, failed) => {
    const asked = indexedDB.open("bracing", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("entries", { keyPath: "id" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const within = async (mode, act) => {
    const db = await store;
    return new Promise((done, failed) => {
      const change = db.transaction("entries", mode, { durability: "strict" });
      const asked = act(change.objectStore("entries"));
      change.oncomplete = () => done(asked.result);
      change.onerror = change.onabort = () => failed(change.error);
    });
  };
  const waiting = () => within("readonly", (all) => all.getAll());

  const tell = (text, loud) => {
    banner.textContent = text;
    banner.className = loud ? "loud" : "note";
    banner.hidden = text === "";
  };
  const tellQueue = async () => {
    const left = await waiting();
    if (left.length) {
      const oldest = new Date(Math.min(...left.map((one) => Number(one.at))));
      tell(said.notSent.replaceAll("{count}", left.length).replaceAll("{when}", oldest.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })), true);
    }
    return left;
  };

  let sending = false;
  const send = async () => {
    if (sending) return [];
    sending = true;
    try {
      const left = (await waiting()).sort((a, b) => Number(a.at) - Number(b.at)).slice(0, 100);
      if (!left.length) return [];
      const answer = await fetch("/entries", {
        method: "POST", body: JSON.stringify(left), credentials: "same-origin", redirect: "error",
        headers: { "Content-Type": "application/json", "X-Form": said.form }, signal: AbortSignal.timeout(PATIENCE_MS),
      });
      if (!answer.ok) throw new Error(String(answer.status));
      const taken = await answer.json();
      for (const one of taken) if (one.id) await within("readwrite", (all) => all.delete(one.id));
      const refused = taken.filter((one) => one.why.length);
      if (refused.length) tell(said.refused.replaceAll("{what}", refused.flatMap((one) => one.why).join("; ")), true);
      else if (!(await tellQueue()).length) tell(said.allSent, false);
      return taken;
    } catch {
      await tellQueue();
      return [];
    } finally {
      sending = false;
    }
  };

  const kept = async (event) => {
    const form = event.target.closest("form.answer");
    if (!form) return;
    event.preventDefault();
    const one = { wall: form.dataset.wall, step: form.dataset.step, at: String(Date.now()) };
    for (const [name, value] of new FormData(form)) if (name !== "form") one[name] = value;
    if (event.submitter && event.submitter.name) one[event.submitter.name] = event.submitter.value;
    try {
      await within("readwrite", (all) => all.put(one));
    } catch {
      form.removeEventListener("submit", kept);  // no store on this phone: the form goes by itself
      form.submit();
      return;
    }
    form.elements.id.value = newId();
    form.elements.seen.value = one.id;
    const place = document.querySelector(`[data-told="${CSS.escape(one.step)}"]`);
    if (place) place.textContent = said.noSignal;
    const mine = (await send()).find((each) => each.id === one.id);
    if (!mine) {
      if (!place) tell(said.noSignal, true);
      return;
    }
    if (place && mine.told) place.textContent = mine.told;
    if (!place && mine.next) location.assign(mine.next);
  };
  if (window.indexedDB) {
    document.addEventListener("submit", (event) => { if (event.target.matches("form.answer")) kept(event); });
    addEventListener("online", send);
    addEventListener("focus", send);
    setInterval(send, EVERY_MS);
    send();
  }
  if (window.isSecureContext && "serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => {});
})();
