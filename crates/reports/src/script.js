(function () {
  'use strict';
  var root = document.documentElement;
  root.classList.add('js');
  var map = document.getElementById('map');
  var WIDTH = 1000, HEIGHT = 707, CLOSEST = 40;
  var view = { zoom: 1, x: 0, y: 0 };
  var fit = 1;

  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  /* The map. */

  function draw() {
    var ground = document.getElementById('ground');
    view.zoom = Math.min(CLOSEST, Math.max(1, view.zoom));
    view.x = Math.min(0, Math.max(WIDTH * (1 - view.zoom), view.x));
    view.y = Math.min(0, Math.max(HEIGHT * (1 - view.zoom), view.y));
    ground.setAttribute('transform', 'translate(' + view.x.toFixed(2) + ' ' + view.y.toFixed(2) + ') scale(' + view.zoom.toFixed(4) + ')');
    map.style.setProperty('--zoom', view.zoom.toFixed(4));
    map.style.setProperty('--still', (fit / view.zoom).toFixed(5));
    map.style.setProperty('--fit', fit.toFixed(3));
    var near = view.zoom / fit;
    map.classList.toggle('far', near < 0.7);
    [2, 4, 8, 16].forEach(function (level) { map.classList.toggle('x' + level, near >= level); });
    map.classList.toggle('moved', view.zoom > 1.001);
    drawScale();
  }

  function drawScale() {
    var bar = document.getElementById('scale');
    var units = Number(bar.getAttribute('data-units-per-metre')) * view.zoom / fit;
    var longest = Number(bar.getAttribute('data-longest')) / units;
    var power = Math.pow(10, Math.floor(Math.log10(longest)));
    var metres = [5, 2, 1].map(function (step) { return step * power; }).filter(function (length) { return length <= longest; })[0];
    var whole = (metres * units).toFixed(2), half = (metres * units / 2).toFixed(2);
    bar.querySelector('path').setAttribute('d', 'M0 -6V0H' + whole + 'V-6M' + half + ' -4V0');
    bar.querySelector('text').textContent = metres >= 1000 ? metres / 1000 + ' km' : Number(metres.toPrecision(3)) + ' m';
  }

  function place(event) {
    var inverse = map.getScreenCTM().inverse();
    var point = map.createSVGPoint();
    point.x = event.clientX;
    point.y = event.clientY;
    return point.matrixTransform(inverse);
  }

  function zoomAt(point, factor) {
    var before = view.zoom;
    view.zoom = Math.min(CLOSEST, Math.max(1, view.zoom * factor));
    var change = view.zoom / before;
    view.x = point.x - (point.x - view.x) * change;
    view.y = point.y - (point.y - view.y) * change;
    draw();
  }

  function wholeMap() {
    view = { zoom: 1, x: 0, y: 0 };
    draw();
  }

  function measure() {
    var width = map.getBoundingClientRect().width;
    fit = width > 0 ? Math.min(2, Math.max(1, 800 / width)) : 1;
    draw();
  }

  var fingers = {}, dragged = false;

  function middle() {
    var ids = Object.keys(fingers);
    var a = fingers[ids[0]], b = fingers[ids[1]] || a;
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.hypot(a.x - b.x, a.y - b.y), count: ids.length };
  }

  function onMove(event) {
    if (!fingers[event.pointerId]) { return; }
    var before = middle();
    fingers[event.pointerId] = place(event);
    var after = middle();
    if (!dragged && Math.hypot(after.x - before.x, after.y - before.y) < 3 && before.count < 2) {
      fingers[event.pointerId] = { x: before.x, y: before.y };
      return;
    }
    if (!dragged) {
      dragged = true;
      map.setPointerCapture(event.pointerId);
    }
    view.x += after.x - before.x;
    view.y += after.y - before.y;
    if (after.count > 1 && before.apart > 0) { zoomAt(after, after.apart / before.apart); } else { draw(); }
  }

  function onKey(event) {
    var step = 60;
    var moves = { ArrowLeft: [step, 0], ArrowRight: [-step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
    var centre = { x: WIDTH / 2, y: HEIGHT / 2 };
    if (event.ctrlKey || event.metaKey || event.altKey) { return; }
    if (moves[event.key] && view.zoom > 1) {
      view.x += moves[event.key][0];
      view.y += moves[event.key][1];
      draw();
    } else if (event.key === '+' || event.key === '=') {
      zoomAt(centre, 1.5);
    } else if (event.key === '-') {
      zoomAt(centre, 1 / 1.5);
    } else if (event.key === '0') {
      wholeMap();
    } else {
      return;
    }
    event.preventDefault();
  }

  function startMap() {
    map.setAttribute('tabindex', '0');
    map.addEventListener('wheel', function (event) {
      var factor = Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.002));
      if (factor < 1 && view.zoom <= 1) { return; }
      event.preventDefault();
      zoomAt(place(event), factor);
    }, { passive: false });
    map.addEventListener('pointerdown', function (event) {
      if (event.button) { return; }
      if (!Object.keys(fingers).length) { dragged = false; }
      fingers[event.pointerId] = place(event);
    });
    map.addEventListener('pointermove', onMove);
    ['pointerup', 'pointercancel', 'pointerleave'].forEach(function (name) {
      map.addEventListener(name, function (event) { delete fingers[event.pointerId]; });
    });
    map.addEventListener('dragstart', function (event) { event.preventDefault(); });
    map.addEventListener('keydown', onKey);
    var centre = { x: WIDTH / 2, y: HEIGHT / 2 };
    document.getElementById('closer').addEventListener('click', function () { zoomAt(centre, 1.6); });
    document.getElementById('farther').addEventListener('click', function () { zoomAt(centre, 1 / 1.6); });
    document.getElementById('whole').addEventListener('click', wholeMap);
    window.addEventListener('resize', measure);
    window.addEventListener('beforeprint', function () { fit = 1; draw(); });
    window.addEventListener('afterprint', measure);
    measure();
  }

  /* The selection: one work, marked on the map and in the lists. */

  function show(mark) {
    var at = mark.transform.baseVal.consolidate().matrix;
    var x = view.x + at.e * view.zoom, y = view.y + at.f * view.zoom;
    if (x < 60 || x > WIDTH - 60 || y < 60 || y > HEIGHT - 60) {
      view.x += WIDTH / 2 - x;
      view.y += HEIGHT / 2 - y;
      draw();
    }
  }

  /* What stands for days has a row under each; the first that is shown counts. */
  function shownRow(work) {
    var rows = document.querySelectorAll('#schedule tr[data-work="' + Number(work) + '"]');
    return Array.prototype.filter.call(rows, function (row) { return row.offsetParent !== null; })[0];
  }

  function pick(work, fromMap) {
    each('.picked', function (element) { element.classList.remove('picked'); });
    each('[data-work]', function (element) {
      if (element.getAttribute('data-work') === work) { element.classList.add('picked'); }
    });
    var mark = document.getElementById('mark-' + work), row = shownRow(work);
    if (mark) { show(mark); }
    if (fromMap && row) { row.scrollIntoView({ block: 'nearest' }); }
  }

  document.addEventListener('click', function (event) {
    var target = event.target.closest ? event.target.closest('[data-work]') : null;
    var link = event.target.closest ? event.target.closest('a') : null;
    var onMap = map && map.contains(event.target);
    if (onMap && dragged) {
      event.preventDefault();
      return;
    }
    if (!target) { return; }
    if (link) { event.preventDefault(); }
    pick(target.getAttribute('data-work'), onMap);
  });

  if (map) { startMap(); }
}());
