// What every page for a phone shares: what is entered stays on this device until it is sent back. No network, no server.
"use strict";
const phone = (() => {
  const byId = (id) => document.getElementById(id);
  const now = () => {
    const at = new Date();
    return new Date(at - at.getTimezoneOffset() * 60000).toISOString().slice(0, 19);
  };
  const plain = (text) => text.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 40);

  // What a browser keeps under a key, until it can't.
  function store(key, empty) {
    const it = { keeps: true };
    it.read = () => {
      try {
        localStorage.setItem(`${key}-try`, "1");
        localStorage.removeItem(`${key}-try`);
        return { ...empty(), ...JSON.parse(localStorage.getItem(key) || "{}") };
      } catch {
        it.keeps = false;
        return empty();
      }
    };
    it.write = (state) => {
      if (!it.keeps) return;
      try {
        localStorage.setItem(key, JSON.stringify(state));
      } catch {
        it.keeps = false;
      }
    };
    return it;
  }

  // A small file handed to another program of the phone, or saved; what to tell of it, or "" where it was called off.
  async function handOver(sent, names, whom) {
    const content = JSON.stringify(sent, null, 1);
    const name = [...names.map(plain), now().slice(0, 16).replace(/[:T]/g, "-")].filter(Boolean).join("-");
    for (const [type, ending] of [["application/json", ".json"], ["text/plain", ".txt"]]) {
      const file = new File([content], name + ending, { type });
      if (navigator.canShare?.({ files: [file] })) {
        try {
          await navigator.share({ files: [file], title: name });
          return "Handed on.";
        } catch (error) {
          if (error.name === "AbortError") return "";
          break;
        }
      }
    }
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([content], { type: "application/json" }));
    link.download = `${name}.json`;
    link.click();
    return `Saved as ${name}.json. Send that file to ${whom}.`;
  }

  document.documentElement.classList.add("js");
  return {
    told: JSON.parse(byId("told").textContent),
    byId,
    all: (query, within = document) => [...within.querySelectorAll(query)],
    now,
    minute: (when) => when.slice(0, 16).replace("T", " "),
    store,
    handOver,
  };
})();
