"""The network seam against a small server of this test, which answers as the service does."""

import gzip
import threading
import time
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from eavewell.faults import BadRecord, EavewellFault, NoConnection
from eavewell.files.rain import station as seam
from eavewell.files.rain.readers import read_rain
from eavewell.files.rain.station import bring_station, nearest_stations

NEAR, FAR, NO_RAIN = "XX000000001", "XX000000002", "XX000000003"
LIST = "".join(
    f"{station:11} {latitude:8.4f} {longitude:9.4f} {elevation:6.1f} TX {name:30}\n"
    for station, latitude, longitude, elevation, name in [
        (FAR, 31.0, -97.0, 300.0, "INVENTED FAR"),
        (NEAR, 30.0, -98.0, -999.9, "INVENTED NEAR"),
        (NO_RAIN, 30.0, -98.5, 200.0, "INVENTED DRY"),
    ]
)
INVENTORY = "".join(
    f"{station:11} {0:8.4f} {0:9.4f} {element:4} {first} {last}\n"
    for station, element, first, last in [
        (FAR, "PRCP", 1950, 2020),
        (NEAR, "PRCP", 1990, 2024),
        (NO_RAIN, "TMAX", 1990, 2024),
    ]
)
RECORD = "".join(f"{FAR},200101{day:02d},PRCP,10,,,0,0700\n" for day in range(1, 32))
ANSWERS = {
    "/ghcnd-stations.txt": LIST.encode(),
    "/ghcnd-inventory.txt": INVENTORY.encode(),
    f"/all/{NEAR}.dly": f"{NEAR}200101PRCP{'   10  0' * 31}\n".encode(),
    f"/by_station/{FAR}.csv.gz": gzip.compress(RECORD.encode()),
    f"/by_station/{NO_RAIN}.csv.gz": gzip.compress(RECORD.encode())[:-20],
}


class Service(BaseHTTPRequestHandler):
    asked: tuple[str, ...] = ()

    def do_GET(self):
        Service.asked += (self.path,)
        if self.path.startswith("/slow"):
            time.sleep(0.6)
        body = ANSWERS.get(self.path)
        self.send_response(404 if body is None else 200)
        self.end_headers()
        self.wfile.write(body or b"")

    def log_message(self, *_):
        pass


@pytest.fixture
def address():
    Service.asked = ()
    server = ThreadingHTTPServer(("127.0.0.1", 0), Service)
    thread = threading.Thread(target=partial(server.serve_forever, 0.01), daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()
    thread.join()


def test_nearest_stations_with_rain(address):
    near, far = nearest_stations(30.0, -98.0, elevation_m=100.0, address=address)
    assert (near.station, near.distance_km, near.years) == (NEAR, 0.0, 35)
    assert near.height_m is None
    assert (far.station, far.height_m, far.years) == (FAR, 200.0, 71)
    assert nearest_stations(30.0, -98.0, most=1, address=address) == (
        nearest_stations(30.0, -98.0, address=address)[0],
    )


def test_a_station_comes_once(address, tmp_path):
    path = bring_station(NEAR, tmp_path, address=address)
    assert read_rain(path).rain_mm.tolist() == [1.0] * 31
    asked = len(Service.asked)
    assert bring_station(NEAR, tmp_path, address=address) == path
    assert len(Service.asked) == asked
    assert [file.name for file in tmp_path.iterdir()] == [f"{NEAR}.dly"]


def test_the_csv_is_taken_where_there_is_no_dly(address, tmp_path):
    path = bring_station(FAR, tmp_path, address=address)
    assert path.name == f"{FAR}.csv.gz"
    assert read_rain(path).days == 31


@pytest.mark.parametrize("station", [NO_RAIN, "XX999999999"])
def test_a_cut_off_or_absent_file_leaves_nothing(address, tmp_path, station):
    with pytest.raises(EavewellFault, match="by file instead"):
        bring_station(station, tmp_path, address=address)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("station", ["", "../../passwd", "XX0000000/1", "xx000000001"])
def test_an_odd_number_is_refused(tmp_path, station):
    with pytest.raises(BadRecord, match="station number"):
        bring_station(station, tmp_path, address="http://127.0.0.1:9")


def test_offline_and_slow(address, tmp_path, monkeypatch):
    monkeypatch.setattr(seam, "LONGEST_S", 0.2)
    with pytest.raises(NoConnection, match="by file instead"):
        bring_station(NEAR, tmp_path, address=f"{address}/slow")
    with pytest.raises(NoConnection, match="by file instead"):
        nearest_stations(30.0, -98.0, address="http://127.0.0.1:9")
    with pytest.raises(NoConnection):
        nearest_stations(30.0, -98.0, address="nowhere")
