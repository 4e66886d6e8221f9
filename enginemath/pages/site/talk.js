"use strict";
// Talking to Python: by a socket, or by what stands in for it.

// What is sent while nobody listens waits; an answer typed in that time is not lost.
let socket = null, waiting = [], tries = 0;
function address() {
  const at = new URL("talk", new URL($("script[src]").src.replace(/site\/[^/]*$/, ""), location.href));
  at.protocol = at.protocol.replace("http", "ws");
  if (projector) at.searchParams.set("projector", "1");
  return at;
}
function connect() {
  if (!window.lineToPython && $("#edition")) return;   // half of a page without a server
  socket = window.lineToPython ? window.lineToPython(projector) : new WebSocket(address());
  socket.onopen = () => {
    tries = 0;
    if (document.body.classList.contains("alone")) $(".kept").textContent = "";
    document.body.classList.remove("alone");
    const late = waiting;
    waiting = [];
    begin();
    late.forEach(talk);
  };
  socket.onmessage = ({ data }) => hear(JSON.parse(data));
  socket.onclose = () => {
    moving.busy = false;
    document.body.classList.add("alone");
    $(".kept").textContent = "not connected: what you type stays here";
    setTimeout(connect, Math.min(5000, 300 * 2 ** tries++));
  };
}
function talk(message) {
  if (socket && socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
  else if (["answer", "reading", "guess", "who"].includes(message.do)) waiting.push(message);
}
