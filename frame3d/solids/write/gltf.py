"""The tree of a GLB file as its JSON has it, as far as frames need it.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), section 5 (properties);
extension EXT_mesh_gpu_instancing.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict

Attributes = dict[str, int]
"""Numbers of accessors, by what they are of."""


class Accessor(TypedDict):
    """Numbers in a buffer view."""

    bufferView: int
    byteOffset: NotRequired[int]
    componentType: int
    type: str
    count: int
    normalized: NotRequired[bool]
    min: NotRequired[list[float]]
    max: NotRequired[list[float]]


class GltfBufferView(TypedDict):
    """A stretch of the buffer."""

    buffer: int
    byteOffset: int
    byteLength: int
    byteStride: NotRequired[int]
    target: NotRequired[int]


class Primitive(TypedDict):
    """Triangles of one material."""

    attributes: Attributes
    indices: int
    material: int
    mode: NotRequired[int]


class GltfMesh(TypedDict):
    """A part."""

    name: str
    primitives: list[Primitive]


class Instances(TypedDict):
    """Where many members of one part stand."""

    attributes: Attributes


class Node(TypedDict):
    """A member, or what holds members together."""

    name: str
    mesh: NotRequired[int]
    matrix: NotRequired[list[float]]
    rotation: NotRequired[list[float]]
    children: NotRequired[list[int]]
    extensions: NotRequired[dict[str, Instances]]


class GltfSurface(TypedDict):
    """How a material takes the light."""

    baseColorFactor: list[float]
    metallicFactor: float
    roughnessFactor: float


class GltfMaterial(TypedDict):
    """What members of one role look like."""

    name: str
    pbrMetallicRoughness: GltfSurface


class Root(TypedDict):
    """Where the tree begins."""

    name: str
    nodes: list[int]


class GltfScene(TypedDict):
    """The whole tree."""

    asset: dict[str, str]
    extensionsUsed: NotRequired[list[str]]
    extensionsRequired: NotRequired[list[str]]
    scene: int
    scenes: list[Root]
    nodes: list[Node]
    meshes: list[GltfMesh]
    materials: list[GltfMaterial]
    accessors: list[Accessor]
    bufferViews: list[GltfBufferView]
    buffers: list[dict[str, int]]
